//! 06 read as 6. Source: a technician fired a studio's bisque to about cone 4 by such a slip (community.ceramicartsdaily.org 37427).

use crate::{Case, Finding};

/// 06 read as 6.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let asked = case.piece.asked_cone?;
    let steps = (asked.position() - case.cone.position()).abs();
    if steps < 1.0 {
        return None;
    }
    let alike = (asked.position() - (1.0 - case.cone.position())).abs() < 1e-9;
    let hint = if alike {
        "; the two names are easily mixed up"
    } else {
        ""
    };
    Some(Finding::block(
        "cone-mixed-up",
        format!(
            "its slip asks for cone {asked} ({}), this firing is cone {} ({}){hint}",
            asked.range_name(),
            case.cone,
            case.cone.range_name()
        ),
        "Ask the maker, then correct the slip or keep it for the cone it asks for",
    ))
}
