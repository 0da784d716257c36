//! Most pieces in one pile of greenware.

use crate::{Rule, Setting};

/// Most pieces in one pile of greenware.
pub const RULE: Rule = Rule {
    id: "pile-most",
    title: "Most pieces in one pile of greenware",
    default: Setting::Count(4),
    reason: "Each piece more is one more that slips, and the lowest dries and burns out last. 1 allows no piles.",
    source: "figure proposed here; that bisque is stacked and nested: BC potters' guild newsletters",
};
