//! Clay that the firing would melt. Source: low-fire clay at mid fire melts onto shelves and elements (talk.dallasmakerspace.org 56410).

use crate::{Case, Finding};

/// Clay that the firing would melt.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let clay = case.clay().filter(|c| c.cone_to < case.cone)?;
    Some(Finding::block(
        "clay-below-cone",
        format!(
            "clay {} stands cone {} at most ({}); this firing is cone {} ({}) and would melt it",
            clay.name,
            clay.cone_to,
            clay.cone_to.range_name(),
            case.cone,
            case.cone.range_name()
        ),
        "Keep it for a firing within its clay's range",
    ))
}
