//! Materials that need leave. Source: paper, wire, salt and the like fume or eat elements (ritawalkerpottery.com, r/Pottery 1jmn5o9).

use crate::{Case, Finding};

/// Materials that need leave.
pub fn judge(case: &Case<'_>) -> Option<Finding> {
    let clay = case.clay().filter(|c| c.needs_leave)?;
    Some(Finding::block(
        "needs-leave",
        format!(
            "clay {} holds something that fumes or harms the kiln",
            clay.name
        ),
        "Ask the technician for leave before it is taken in",
    ))
}
