//! Most that flat ware carries, over its own mass.

use crate::{Rule, Setting};

/// Most that flat ware carries, over its own mass.
pub const RULE: Rule = Rule {
    id: "pile-bears",
    title: "Most that flat ware carries, over its own mass",
    default: Setting::Times(3.0),
    reason: "Weight on flat ware goes straight down into the shelf, as long as it lies true.",
    source: "heaviest and strongest at the bottom: BC potters' guild newsletters; figure proposed here",
};
