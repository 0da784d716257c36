//! Middle of a post in from the shelf's edge.

use glost_model::Length;

use crate::{Rule, Setting};

/// Middle of a post in from the shelf's edge.
pub const RULE: Rule = Rule {
    id: "post-inset",
    title: "Middle of a post in from the shelf's edge",
    default: Setting::Length(Length::mm(40.0)),
    reason: "Too near the edge the middle sags, too far in the edge tips.",
    source: "maker articles disagree: 25 to 50 mm, and 75 to 100 mm",
};
