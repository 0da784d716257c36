//! Greenware and glaze ware in one firing. Source: water and smoke fog glazes, and a glaze firing is too fast for raw clay (trade forum reports).

use crate::{Case, Finding};
use glost_model::load::FiringKind;
use glost_model::piece::Stage;

/// Greenware and glaze ware in one firing.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    match (case.kind, case.piece.stage) {
        (FiringKind::Glaze, Stage::Greenware) => Some(Finding::block(
            "wrong-stage",
            "is greenware; a glaze firing climbs too fast for it, and its smoke spoils glazes"
                .to_owned(),
            "Bisque it first",
        )),
        (FiringKind::Bisque, Stage::Glazed) => Some(Finding::block(
            "wrong-stage",
            "is glazed; in a bisque it would touch and stick".to_owned(),
            "Keep it for a glaze firing",
        )),
        _ => None,
    }
}
