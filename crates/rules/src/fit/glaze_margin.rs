//! Glaze too near the foot. Source: dry foot and a margin up the wall (strandedstarfishak.com, weststreetpotters.co.uk).

use crate::value::margin_least;
use crate::{Case, Finding, Need};
use glost_model::load::FiringKind;
use glost_model::piece::Foot;

/// Glaze too near the foot.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let bare = case.piece.glazes.is_empty()
        || case.kind == FiringKind::Bisque
        || case.piece.foot == Foot::Glazed;
    let least = case.book.length(&margin_least::RULE);
    if bare || case.piece.glaze_margin >= least {
        return None;
    }
    Some(Finding::require(
        "glaze-margin",
        Need::WasterSlab,
        format!(
            "glaze ends {} above the foot; {} is the least",
            case.length(case.piece.glaze_margin),
            case.length(least)
        ),
        "Stand it on a waster slab, or wipe the margin wider",
    ))
}
