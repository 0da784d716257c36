//! Gap beside runny glaze.

use glost_model::Length;

use crate::{Rule, Setting};

/// Gap beside runny glaze.
pub const RULE: Rule = Rule {
    id: "gap-runny",
    title: "Gap beside runny glaze",
    default: Setting::Length(Length::mm(12.0)),
    reason: "Runny glaze swells and spits farther.",
    source: "proposed here from finger-width practice (3rdcoastclay.com, BC potters' guild newsletters)",
};
