//! Ware that falls over at a touch. Common practice, no source: a shelf knocked in a loading tips what is more than four feet high.

use glost_model::Length;

use crate::{Case, Finding};

/// Height over the narrowest width of the foot from which a piece counts as tippy.
const FEET_HIGH: f64 = 4.0;

/// Ware that falls over at a touch.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let (x, y) = case.piece.foot_outline.extent();
    let foot: Length = x.min(y);
    (case.piece.height.to_m() > FEET_HIGH * foot.to_m()).then(|| {
        Finding::warn(
            "tippy",
            format!(
                "stands {} high on a foot of {}",
                case.length(case.piece.height),
                case.length(foot)
            ),
            "Place it last and low, with nothing to be reached over it, or fire it lying in props",
        )
    })
}
