//! Bare margin above the foot.

use glost_model::Length;

use crate::{Rule, Setting};

/// Bare margin above the foot.
pub const RULE: Rule = Rule {
    id: "margin-least",
    title: "Bare margin above the foot",
    default: Setting::Length(Length::mm(6.0)),
    reason: "Melted glaze creeps down and glues the foot to the shelf.",
    source: "strandedstarfishak.com asks 20 mm, the usual least is 6 mm (common practice, no source)",
};
