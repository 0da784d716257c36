//! Gap between glazed pieces.

use glost_model::Length;

use crate::{Rule, Setting};

/// Gap between glazed pieces.
pub const RULE: Rule = Rule {
    id: "gap-ware",
    title: "Gap between glazed pieces",
    default: Setting::Length(Length::mm(6.0)),
    reason: "Rims move and glaze boils: closer pieces fuse.",
    source: "potters' maker article: 6 mm (1/4 in); a video lesson allows 3 mm (1/8 in); a finger width elsewhere",
};
