//! Shelves with a pack of witness cones.

use crate::{Rule, Setting};

/// Shelves with a pack of witness cones.
pub const RULE: Rule = Rule {
    id: "witness-packs",
    title: "Shelves with a pack of witness cones",
    default: Setting::Several(3),
    reason: "Guide, firing and guard cone on the lowest, middle and highest shelf tell what heat-work each part of the kiln got. With 2 none stands in the middle, with 1 only there, with 0 nowhere.",
    source: "teaching texts: witness cones on bottom, middle and top shelf",
};
