//! Leaded ware beside lead-free. Source: lead moves through the kiln air and can take other ware over the limit (potclays.co.uk).

use glost_model::clay::Glaze;

use crate::Finding;

/// Leaded ware beside lead-free: what `a` does to `b`.
pub fn judge(a: &Glaze, b: &Glaze) -> Option<Finding> {
    (a.lead && !b.lead).then(|| {
        Finding::block(
            "lead-mix",
            format!(
                "leaded glaze {} and lead-free glaze {} may not share a firing",
                a.name, b.name
            ),
            "Fire leaded ware by itself",
        )
    })
}
