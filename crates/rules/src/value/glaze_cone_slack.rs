//! Cones a glaze may miss its range by.

use crate::{Rule, Setting};

/// Cones a glaze may miss its range by.
pub const RULE: Rule = Rule {
    id: "glaze-cone-slack",
    title: "Cones a glaze may miss its range by",
    default: Setting::Cones(1.0),
    reason: "A glaze a cone out looks different; two cones out it is spoilt and may run.",
    source: "proposed here",
};
