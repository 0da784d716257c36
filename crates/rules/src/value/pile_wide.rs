//! Widest piece that stands on or in another.

use glost_model::Length;

use crate::{Rule, Setting};

/// Widest piece that stands on or in another.
pub const RULE: Rule = Rule {
    id: "pile-wide",
    title: "Widest piece that stands on or in another",
    default: Setting::Length(Length::mm(300.0)),
    reason: "Large ware cracks when its weight lies on a few high spots.",
    source: "potteryclaythailand.com: do not stack large or heavy pieces; figure proposed here",
};
