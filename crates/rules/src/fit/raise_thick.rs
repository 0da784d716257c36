//! Thick ware is raised. Source: wide or thick bases on a cold shelf crack (potters.org 52186).

use crate::value::wall_raise;
use crate::{Case, Finding, Need};
use glost_model::load::FiringKind;
use glost_model::piece::Foot;

/// Thick ware is raised.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let from = case.book.length(&wall_raise::RULE);
    if case.piece.wall < from || case.piece.foot == Foot::Glazed && case.kind == FiringKind::Glaze {
        return None;
    }
    Some(Finding::require(
        "raise-thick",
        Need::PinSupport,
        format!(
            "its wall of {} wants air beneath it",
            case.length(case.piece.wall)
        ),
        "Raise it on pin supports",
    ))
}
