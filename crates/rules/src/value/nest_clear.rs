//! Gap from a nested piece to the wall around it.

use glost_model::Length;

use crate::{Rule, Setting};

/// Gap from a nested piece to the wall around it.
pub const RULE: Rule = Rule {
    id: "nest-clear",
    title: "Gap from a nested piece to the wall around it",
    default: Setting::Length(Length::mm(6.0)),
    reason: "A nested piece must not press the wall around it: both shrink, and a wedged rim splits the outer one.",
    source: "nested pieces must not press: BC potters' guild newsletters; figure proposed here, from the 2 mm either wall may stray",
};
