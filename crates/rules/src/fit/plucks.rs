//! Porcelain plucks at the foot. Source: potters.org 102143, r/Ceramics 1jf0q5z.

use crate::{Case, Finding};
use glost_model::load::FiringKind;

/// Porcelain plucks at the foot.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let clay = case
        .clay()
        .filter(|c| c.plucks && case.kind == FiringKind::Glaze)?;
    Some(Finding::warn(
        "plucks",
        format!("clay {} plucks at the foot", clay.name),
        "Dust the shelf under it with alumina",
    ))
}
