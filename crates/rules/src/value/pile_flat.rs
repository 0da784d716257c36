//! Height over its narrower width up to which ware is flat.

use crate::{Rule, Setting};

/// Height over its narrower width up to which ware is flat.
pub const RULE: Rule = Rule {
    id: "pile-flat",
    title: "Height over its narrower width up to which ware is flat",
    default: Setting::Times(0.2),
    reason: "Plates, saucers and tiles lie on one another; what is higher stands on its rim or foot.",
    source: "proposed here",
};
