//! Most that hollow ware carries, over its own mass.

use crate::{Rule, Setting};

/// Most that hollow ware carries, over its own mass.
pub const RULE: Rule = Rule {
    id: "hollow-bears",
    title: "Most that hollow ware carries, over its own mass",
    default: Setting::Times(2.0),
    reason: "Weight in a bowl or on a rim runs through raw walls.",
    source: "heaviest and strongest at the bottom: BC potters' guild newsletters; figure proposed here",
};
