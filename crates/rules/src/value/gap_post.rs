//! Gap from ware to posts.

use glost_model::Length;

use crate::{Rule, Setting};

/// Gap from ware to posts.
pub const RULE: Rule = Rule {
    id: "gap-post",
    title: "Gap from ware to posts",
    default: Setting::Length(Length::mm(15.0)),
    reason: "A pot leaning on a post sticks to it and may bring the stack down.",
    source: "3rdcoastclay.com: a finger width",
};
