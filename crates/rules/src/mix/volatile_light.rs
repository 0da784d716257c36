//! Volatile colour beside light glaze. Source: potclays.co.uk; glaze defect list.

use glost_model::clay::Glaze;

use crate::Finding;

/// Volatile colour beside light glaze: what `a` does to `b`.
pub fn judge(a: &Glaze, b: &Glaze) -> Option<Finding> {
    (a.volatile_colour && b.light).then(|| {
        Finding::warn(
            "volatile-light",
            format!("{} gives off colour that marks {}", a.name, b.name),
            "Stand them on different tiers",
        )
    })
}
