//! Glaze outside its cones. Source: proposed here: one cone out warns, two block.

use crate::value::glaze_cone_slack;
use crate::{Case, Finding};
use glost_model::load::FiringKind;

/// Glaze outside its cones.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    if case.kind == FiringKind::Bisque {
        return None;
    }
    let slack = case.book.cones(&glaze_cone_slack::RULE);
    let at = case.cone.position();
    let (miss, glaze) = case
        .glazes()
        .map(|g| {
            (
                (g.cone_from.position() - at).max(at - g.cone_to.position()),
                g,
            )
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))?;
    if miss <= 0.0 {
        return None;
    }
    let why = format!(
        "glaze {} is for cone {} to {}, this firing is cone {}",
        glaze.name, glaze.cone_from, glaze.cone_to, case.cone
    );
    let remedy = "Keep it for a firing within the glaze's range";
    Some(if miss > slack {
        Finding::block("glaze-cone", why, remedy)
    } else {
        Finding::warn("glaze-cone", why, remedy)
    })
}
