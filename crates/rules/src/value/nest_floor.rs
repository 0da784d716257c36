//! Most that a foot ring lifts the floor inside, beyond the wall's thickness.

use glost_model::Length;

use crate::{Rule, Setting};

/// Most that a foot ring lifts the floor inside, beyond the wall's thickness.
pub const RULE: Rule = Rule {
    id: "nest-floor",
    title: "Most that a foot ring lifts the floor inside, beyond the wall's thickness",
    default: Setting::Length(Length::mm(8.0)),
    reason: "Insides are not measured, and what stands on a higher floor stands higher.",
    source: "proposed here",
};
