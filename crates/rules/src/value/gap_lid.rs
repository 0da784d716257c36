//! Gap from ware to lid or roof.

use glost_model::Length;

use crate::{Rule, Setting};

/// Gap from ware to lid or roof.
pub const RULE: Rule = Rule {
    id: "gap-lid",
    title: "Gap from ware to lid or roof",
    default: Setting::Length(Length::mm(25.0)),
    reason: "The lid is lowered blind, and crumbs fall from it.",
    source: "bisque and glaze loading notes, potteryclaythailand.com: 25 mm (1 in)",
};
