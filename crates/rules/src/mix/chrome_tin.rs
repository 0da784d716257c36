//! Chrome beside tin-white. Source: chrome pinks tin-white (potters.org 38147, potclays.co.uk).

use glost_model::clay::Glaze;

use crate::Finding;

/// Chrome beside tin-white: what `a` does to `b`.
pub fn judge(a: &Glaze, b: &Glaze) -> Option<Finding> {
    (a.chrome && b.tin_white).then(|| {
        Finding::warn(
            "chrome-tin",
            format!(
                "chrome in {} turns {} pink when they stand near",
                a.name, b.name
            ),
            "Stand them on different tiers",
        )
    })
}
