//! The layout of a log in sentences.

use glost_feed::Layout;
use glost_feed::layout::{Column, Degrees, Holds, Time};

/// A layout in sentences.
pub(super) fn understood(layout: &Layout) -> Vec<String> {
    let name = |at: usize| match layout.titles.get(at).map(|t| t.trim()) {
        Some(title) if !title.is_empty() => format!("'{title}'"),
        _ => format!("column {}", at + 1),
    };
    let time = match &layout.time {
        Time::Arrival => "No column tells the time.".to_owned(),
        Time::Stamp { at, .. } => format!("{} tells day and time.", name(*at)),
        Time::DateAndTime { date, time, .. } => {
            format!(
                "{} tells the day and {} the time.",
                name(*date),
                name(*time)
            )
        }
        Time::Unix { at, .. } => format!("{} tells the time in seconds since 1970.", name(*at)),
        Time::Elapsed { at, .. } => format!(
            "{} tells the time since the start of the firing.",
            name(*at)
        ),
    };
    let column = |c: &Column| {
        let what = match &c.holds {
            Holds::Sensor { unit } => format!("the controller's sensor in {}", degrees(unit)),
            Holds::SetPoint { unit } => format!("the set point in {}", degrees(unit)),
            Holds::Other { name, unit } => format!("the sensor '{name}' in {}", degrees(unit)),
            Holds::Duty { percent: true } => "the share of power in per cent".to_owned(),
            Holds::Duty { percent: false } => "the share of power from 0 to 1".to_owned(),
            Holds::Power { kilo: true } => "the power in kW".to_owned(),
            Holds::Power { kilo: false } => "the power in W".to_owned(),
            Holds::Meter => "the meter in kWh".to_owned(),
        };
        format!("{} is {what}.", name(c.at))
    };
    std::iter::once(time)
        .chain(layout.columns.iter().map(column))
        .collect()
}

fn degrees(unit: &Degrees) -> &'static str {
    match unit {
        Degrees::Celsius => "°C",
        Degrees::Fahrenheit => "°F",
        Degrees::Kelvin => "K",
        Degrees::Millivolts { .. } => "millivolts of a thermocouple",
    }
}
