//! Hottest cone for ware on stilts.

use crate::{Rule, Setting};

/// Hottest cone for ware on stilts.
pub const RULE: Rule = Rule {
    id: "stilt-top",
    title: "Hottest cone for ware on stilts",
    default: Setting::Cones(3.0),
    reason: "Points sink into ware that matures hotter, and metal points bend.",
    source: "potclays.co.uk, kilnstilts.com: metal points to about cone 03, none under mature stoneware; figure for clay stilts proposed here",
};
