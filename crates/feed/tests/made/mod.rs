//! What the tests of sources share.
#![allow(dead_code, clippy::allow_attributes, reason = "each test uses a part")]

use glost_feed::layout::{
    Column, Couple, DateOrder, Degrees, Holds, Layout, Separator, Time, no_reading,
};
use glost_feed::{Clock, Rows};
use glost_model::Temperature;
use jiff::Timestamp;
use jiff::tz::TimeZone;

pub const CELSIUS: Degrees = Degrees::Celsius;

/// Stands in for the reference functions: 25 °C for each mV, between 0 and 50 mV.
pub fn straight(mv: f64, _couple: Couple, cold: Temperature) -> Option<Temperature> {
    (0.0..=50.0)
        .contains(&mv)
        .then(|| Temperature::c(cold.to_c() + mv * 25.0))
}

/// `time,sensor` with ISO times in UTC and one line of titles.
pub fn plain() -> Layout {
    Layout {
        separator: Separator::Comma,
        decimal_comma: false,
        skip: 1,
        titles: vec!["time".to_owned(), "sensor".to_owned()],
        width: 2,
        time: Time::Stamp {
            at: 0,
            order: DateOrder::YearFirst,
            zone: None,
        },
        columns: vec![Column {
            at: 1,
            holds: Holds::Sensor { unit: CELSIUS },
        }],
        absent: no_reading(),
    }
}

pub fn rows(layout: Layout) -> Rows {
    Rows::new(layout, &TimeZone::UTC, None, "kiln.csv", straight).unwrap()
}

pub fn second(n: i64) -> Timestamp {
    Timestamp::from_second(1_795_000_000 + n).unwrap()
}

pub fn still() -> Clock {
    std::sync::Arc::new(|| second(0))
}
