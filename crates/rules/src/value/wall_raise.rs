//! Wall from which ware is raised.

use glost_model::Length;

use crate::{Rule, Setting};

/// Wall from which ware is raised.
pub const RULE: Rule = Rule {
    id: "wall-raise",
    title: "Wall from which ware is raised",
    default: Setting::Length(Length::mm(16.0)),
    reason: "Thick bases on a cold shelf crack: air must pass beneath.",
    source: "potters.org 52186 (raise flat ware); figure proposed here",
};
