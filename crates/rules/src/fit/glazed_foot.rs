//! Glaze on the foot. Source: a glazed foot fuses to the shelf (strandedstarfishak.com: four shelves lost in one firing); never stilt mature stoneware or porcelain (potclays.co.uk, kilnstilts.com).

use crate::value::stilt_top;
use crate::{Case, Finding, Need};
use glost_model::load::FiringKind;
use glost_model::piece::Foot;

/// Glaze on the foot.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    if case.kind == FiringKind::Bisque || case.piece.foot != Foot::Glazed {
        return None;
    }
    let slumps = case.clay().is_some_and(|c| c.slumps_on_points);
    let hot = case.cone.position() > case.book.cones(&stilt_top::RULE);
    Some(if slumps || hot {
        let cause = if slumps {
            "its clay sinks onto points"
        } else {
            "points sink into ware at this cone"
        };
        Finding::block(
            "glazed-foot",
            format!("its foot is glazed and {cause}"),
            "Wipe the foot bare and a margin up the wall, then take it in again",
        )
    } else {
        Finding::require(
            "glazed-foot",
            Need::Stilt,
            "its foot is glazed".to_owned(),
            "Stand it on a stilt",
        )
    })
}
