//! Gap from shelf to kiln wall.

use glost_model::Length;

use crate::{Rule, Setting};

/// Gap from shelf to kiln wall.
pub const RULE: Rule = Rule {
    id: "shelf-wall",
    title: "Gap from shelf to kiln wall",
    default: Setting::Length(Length::mm(6.0)),
    reason: "Shelves must lift out, and air must rise past their edges.",
    source: "common practice, no source",
};
