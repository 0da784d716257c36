//! Clay that stays unripe. Common practice, no source: under its cone a body stays open and weeps, under any glaze.

use glost_model::load::FiringKind;

use crate::{Case, Finding};

/// Clay that stays unripe.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let glaze = case.kind == FiringKind::Glaze;
    let clay = case.clay().filter(|c| glaze && c.cone_from > case.cone)?;
    Some(Finding::warn(
        "clay-unripe",
        format!(
            "clay {} is ripe from cone {} and this firing is cone {}: it stays open and does not hold water",
            clay.name, clay.cone_from, case.cone
        ),
        "Ask the maker whether that is meant",
    ))
}
