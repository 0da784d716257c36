//! Gap from ware to a cone pack.

use glost_model::Length;

use crate::{Rule, Setting};

/// Gap from ware to a cone pack.
pub const RULE: Rule = Rule {
    id: "gap-pack",
    title: "Gap from ware to a cone pack",
    default: Setting::Length(Length::mm(6.0)),
    reason: "Cones need room to bend without touching ware.",
    source: "maker article, room to bend; figure proposed here",
};
