//! Gap between pieces in a bisque.

use glost_model::Length;

use crate::{Rule, Setting};

/// Gap between pieces in a bisque.
pub const RULE: Rule = Rule {
    id: "gap-bisque",
    title: "Gap between pieces in a bisque",
    default: Setting::Length(Length::mm(1.0)),
    reason: "Bisque may touch; a small gap keeps a planned piece from being pressed in.",
    source: "common practice, no source",
};
