//! Lustre, decals and china paint. Source: fired about cone 022 to 016, by themselves (ritawalkerpottery.com).

use crate::{Case, Finding};

/// Lustre, decals and china paint.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let glaze = case.glazes().find(|g| g.own_firing)?;
    Some(Finding::block(
        "own-firing",
        format!("{} fires by itself, at about cone 022 to 016", glaze.name),
        "Keep it for a firing of such ware alone",
    ))
}
