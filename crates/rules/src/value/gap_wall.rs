//! Gap from ware to the kiln wall and its elements.

use glost_model::Length;

use crate::{Rule, Setting};

/// Gap from ware to the kiln wall and its elements.
pub const RULE: Rule = Rule {
    id: "gap-wall",
    title: "Gap from ware to the kiln wall and its elements",
    default: Setting::Length(Length::mm(25.0)),
    reason: "Ware beside an element bloats or flashes on that side, and a touched element dies.",
    source: "BC potters' guild newsletters: 25 mm (1 in) to elements",
};
