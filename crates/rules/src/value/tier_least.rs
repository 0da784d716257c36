//! Clear height above the bottom and under the lid worth aiming at.

use glost_model::Length;

use crate::{Rule, Setting};

/// Clear height above the bottom and under the lid worth aiming at.
pub const RULE: Rule = Rule {
    id: "tier-least",
    title: "Clear height above the bottom and under the lid worth aiming at",
    default: Setting::Length(Length::mm(150.0)),
    reason: "A low tier at the cold end stays cold.",
    source: "maker article: 150 to 200 mm (6 to 8 in)",
};
