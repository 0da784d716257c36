//! Most mass of one pile, its lowest piece with it.

use glost_model::Mass;

use crate::{Rule, Setting};

/// Most mass of one pile, its lowest piece with it.
pub const RULE: Rule = Rule {
    id: "pile-mass",
    title: "Most mass of one pile, its lowest piece with it",
    default: Setting::Mass(Mass::kg(5.0)),
    reason: "Heavy ware is not stacked: raw clay has no strength.",
    source: "potteryclaythailand.com: do not stack large or heavy pieces; figure proposed here",
};
