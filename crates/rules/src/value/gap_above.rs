//! Gap from ware to the shelf above.

use glost_model::Length;

use crate::{Rule, Setting};

/// Gap from ware to the shelf above.
pub const RULE: Rule = Rule {
    id: "gap-above",
    title: "Gap from ware to the shelf above",
    default: Setting::Length(Length::mm(12.0)),
    reason: "Rims were seen to touch the shelf above in firing.",
    source: "3rdcoastclay.com: 12 mm (1/2 in); a video lesson allows 6 mm",
};
