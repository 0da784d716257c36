//! Walls too thick for a common firing. Source: thickness limit of most studios: 25 mm (seansclaycorner.com, neighborhoodclay.com).

use crate::value::wall_limit;
use crate::{Case, Finding};

/// Walls too thick for a common firing.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let limit = case.book.length(&wall_limit::RULE);
    if case.piece.wall <= limit {
        return None;
    }
    Some(Finding::block(
        "too-thick",
        format!(
            "its wall of {} is over the {} fired here",
            case.length(case.piece.wall),
            case.length(limit)
        ),
        "Hollow it out, or give it a slow firing of its own",
    ))
}
