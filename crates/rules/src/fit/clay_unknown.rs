//! Clay that the studio does not know. Source: melts onto shelves and elements; studios refuse it (talk.dallasmakerspace.org 56410, r/Pottery 1jmn5o9).

use crate::{Case, Finding};

/// Clay that the studio does not know.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    if case.clay().is_some() {
        return None;
    }
    Some(Finding::block(
        "clay-unknown",
        format!(
            "clay '{}' is not in the studio's list, so nobody knows what it stands",
            case.piece.clay
        ),
        "Ask the maker which clay it is; add it to clays with its cone range",
    ))
}
