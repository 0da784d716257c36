//! Thickest wall fired here.

use glost_model::Length;

use crate::{Rule, Setting};

/// Thickest wall fired here.
pub const RULE: Rule = Rule {
    id: "wall-limit",
    title: "Thickest wall fired here",
    default: Setting::Length(Length::mm(25.0)),
    reason: "Thicker ware dries too slowly and bursts in a common firing.",
    source: "seansclaycorner.com, neighborhoodclay.com: 25 mm (1 in)",
};
