//! Room around the sensor.

use glost_model::Length;

use crate::{Rule, Setting};

/// Room around the sensor.
pub const RULE: Rule = Rule {
    id: "gap-sensor",
    title: "Room around the sensor",
    default: Setting::Length(Length::mm(50.0)),
    reason: "Ware or a shelf beside the sensor makes it read its neighbour, not the kiln; a knock breaks it.",
    source: "3rdcoastclay.com: 50 mm (2 in) bubble",
};
