//! Height of the bottom shelf above the floor.

use glost_model::Length;

use crate::{Rule, Setting};

/// Height of the bottom shelf above the floor.
pub const RULE: Rule = Rule {
    id: "gap-floor",
    title: "Height of the bottom shelf above the floor",
    default: Setting::Length(Length::mm(25.0)),
    reason: "Air must pass under the bottom shelf; nothing stands on the floor.",
    source: "3rdcoastclay.com, potteryclaythailand.com: 12 to 25 mm",
};
