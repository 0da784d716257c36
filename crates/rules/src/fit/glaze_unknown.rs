//! Glaze that the studio does not know. Source: refusal met in most studios' rules.

use crate::{Case, Finding};

/// Glaze that the studio does not know.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let unknown = case
        .piece
        .glazes
        .iter()
        .find(|g| case.studio.glaze(g).is_none())?;
    Some(Finding::block(
        "glaze-unknown",
        format!("glaze '{unknown}' is not in the studio's list"),
        "Ask the maker which glaze it is; add it to glazes with its cone range",
    ))
}
