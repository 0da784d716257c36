//! Most a post may stand off the one below.

use glost_model::Length;

use crate::{Rule, Setting};

/// Most a post may stand off the one below.
pub const RULE: Rule = Rule {
    id: "post-over-post",
    title: "Most a post may stand off the one below",
    default: Setting::Length(Length::mm(5.0)),
    reason: "Posts stand directly above one another: an offset post bends a hot shelf until it breaks.",
    source: "3rdcoastclay.com; community.ceramicartsdaily.org 14964",
};
