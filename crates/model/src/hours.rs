//! When somebody is there to load, start, open and unload kilns.

use jiff::civil::{Date, Time, Weekday, time};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::Span;

/// From one time of day to a later one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Shift {
    /// Somebody comes.
    #[schemars(with = "String")]
    pub from: Time,
    /// The last goes.
    #[schemars(with = "String")]
    pub to: Time,
}

/// The hours of the people who look after the kilns.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Hours {
    /// IANA name of the studio's time zone; `None`: the zone of the machine.
    pub time_zone: Option<String>,
    /// From Monday to Sunday; `None`: nobody is there.
    pub week: [Option<Shift>; 7],
    /// Days on which nobody is there.
    #[schemars(with = "Vec<String>")]
    pub closed: Vec<Date>,
    /// Work to set up and load a kiln, s.
    #[serde(rename = "loading_s")]
    pub loading: Span,
    /// Work to unload it and to put the shelves away, s.
    #[serde(rename = "unloading_s")]
    pub unloading: Span,
    /// The controllers can be set to start later by themselves.
    pub delayed_start: bool,
}

impl Default for Hours {
    /// Office hours, a choice made here. Three hours to load a common kiln and one to unload it are a
    /// studio's own figures (fryeburgpottery.com, firing fees).
    fn default() -> Self {
        let day = Some(Shift {
            from: time(9, 0, 0, 0),
            to: time(17, 0, 0, 0),
        });
        Self {
            time_zone: None,
            week: [day, day, day, day, day, None, None],
            closed: Vec::new(),
            loading: Span::h(3.0),
            unloading: Span::h(1.0),
            delayed_start: false,
        }
    }
}

impl Hours {
    /// The shift of a day, if anybody is there.
    pub fn shift(&self, day: Date) -> Option<Shift> {
        let of_week = match day.weekday() {
            Weekday::Monday => 0,
            Weekday::Tuesday => 1,
            Weekday::Wednesday => 2,
            Weekday::Thursday => 3,
            Weekday::Friday => 4,
            Weekday::Saturday => 5,
            Weekday::Sunday => 6,
        };
        let shift = self.week.get(of_week).copied().flatten();
        shift.filter(|_| !self.closed.contains(&day))
    }
}
