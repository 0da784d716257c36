//! Runny glaze. Source: a waster wider than the base under runny or unknown glaze (potterymill.com).

use crate::{Case, Finding, Need};
use glost_model::load::FiringKind;

/// Runny glaze.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    // A stilt under a glazed foot catches nothing: it needs its slab as much.
    if case.kind == FiringKind::Bisque {
        return None;
    }
    let glaze = case.glazes().find(|g| g.runny)?;
    Some(Finding::require(
        "runny-glaze",
        Need::WasterSlab,
        format!("glaze {} runs", glaze.name),
        "Stand it on a waster slab wider than its foot",
    ))
}
