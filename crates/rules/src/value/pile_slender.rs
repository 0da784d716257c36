//! Height of a pile over the width of its foot.

use crate::{Rule, Setting};

/// Height of a pile over the width of its foot.
pub const RULE: Rule = Rule {
    id: "pile-slender",
    title: "Height of a pile over the width of its foot",
    default: Setting::Times(3.0),
    reason: "A knock of the lid or a shelf brings a taller one down.",
    source: "proposed here",
};
