//! Centre of mass inside the posts by at least.

use glost_model::Length;

use crate::{Rule, Setting};

/// Centre of mass inside the posts by at least.
pub const RULE: Rule = Rule {
    id: "tip-margin",
    title: "Centre of mass inside the posts by at least",
    default: Setting::Length(Length::mm(15.0)),
    reason: "Three posts hold a shelf only while its centre of mass lies inside their triangle.",
    source: "statics; margin proposed here",
};
