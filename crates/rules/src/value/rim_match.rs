//! Most by which two rims or feet that meet may differ.

use glost_model::Length;

use crate::{Rule, Setting};

/// Most by which two rims or feet that meet may differ.
pub const RULE: Rule = Rule {
    id: "rim-match",
    title: "Most by which two rims or feet that meet may differ",
    default: Setting::Length(Length::mm(2.0)),
    reason: "Rim to rim and foot to foot only where they match: an odd rim slides off or bends.",
    source: "rims that match evenly: BC potters' guild newsletters; figure proposed here",
};
