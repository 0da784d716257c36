//! Thickest wall in a pile.

use glost_model::Length;

use crate::{Rule, Setting};

/// Thickest wall in a pile.
pub const RULE: Rule = Rule {
    id: "pile-wall",
    title: "Thickest wall in a pile",
    default: Setting::Length(Length::mm(12.0)),
    reason: "A thick wall gives off its last water late, and steam between two pieces has nowhere to go.",
    source: "proposed here",
};
