//! What titles and values tell of a column. Words of titles from memory, no source.

use super::{DateOrder, Degrees, Tick};
use crate::rows::{Stamp, clock, stamp};

/// What a title tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sign {
    Date,
    Time,
    Elapsed(Option<Tick>),
    SetPoint,
    Duty,
    Power { kilo: bool },
    Meter,
    Cold,
    Sensor,
}

const SIGNS: &[(Sign, &[&str])] = &[
    (Sign::Meter, &["kwh", "energy"]),
    (Sign::Power { kilo: true }, &["kw"]),
    (Sign::Power { kilo: false }, &["w", "watt", "watts"]),
    (Sign::Cold, &["cold", "cj", "cjc", "junction", "ambient"]),
    (
        Sign::SetPoint,
        &[
            "set", "setpoint", "setpt", "sp", "sv", "target", "soll", "sollwert",
        ],
    ),
    (
        Sign::Duty,
        &["duty", "output", "out", "op", "%", "percent", "power"],
    ),
    (Sign::Elapsed(None), &["elapsed", "runtime"]),
    (Sign::Elapsed(Some(Tick::Seconds)), &["seconds", "sec", "s"]),
    (Sign::Elapsed(Some(Tick::Minutes)), &["minutes", "min"]),
    (Sign::Elapsed(Some(Tick::Hours)), &["hours", "hrs", "h"]),
    (
        Sign::Time,
        &[
            "time",
            "timestamp",
            "datetime",
            "zeit",
            "uhrzeit",
            "heure",
            "hora",
        ],
    ),
    (Sign::Date, &["date", "datum", "day"]),
    (
        Sign::Sensor,
        &[
            "sensor",
            "pv",
            "process",
            "actual",
            "ist",
            "istwert",
            "temp",
            "temperature",
            "temperatur",
            "kiln",
            "tc",
            "thermocouple",
            "controller",
            "measured",
        ],
    ),
];

/// A title in small words: `Temp [°C]` is `temp` and `°c`.
pub(super) fn words(title: &str) -> Vec<String> {
    title
        .to_lowercase()
        .split(|c: char| !(c.is_alphanumeric() || matches!(c, '%' | '°')))
        .filter(|w| !w.is_empty())
        .map(str::to_owned)
        .collect()
}

/// What a title tells; of several signs the most telling.
pub(super) fn sign(words: &[String]) -> Option<Sign> {
    let has = |known: &[&str]| words.iter().any(|w| known.contains(&w.as_str()));
    let found = SIGNS.iter().find(|(_, known)| has(known)).map(|(s, _)| *s);
    // "elapsed (min)" and "time [s]" are two signs that make one.
    let tick = SIGNS.iter().find_map(|(s, known)| match s {
        Sign::Elapsed(Some(t)) if has(known) => Some(*t),
        _ => None,
    });
    match found {
        Some(Sign::Elapsed(None)) => Some(Sign::Elapsed(tick)),
        other => other,
    }
}

/// The unit that a title names.
pub(super) fn unit(words: &[String]) -> Option<Unit> {
    words.iter().rev().find_map(|w| match w.as_str() {
        "c" | "°c" | "degc" | "celsius" => Some(Unit::Plain(Degrees::Celsius)),
        "f" | "°f" | "degf" | "fahrenheit" => Some(Unit::Plain(Degrees::Fahrenheit)),
        "k" | "kelvin" => Some(Unit::Plain(Degrees::Kelvin)),
        "mv" => Some(Unit::Millivolts),
        _ => None,
    })
}

/// A unit, the kind of the thermocouple still open.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Unit {
    Plain(Degrees),
    Millivolts,
}

/// A number in either way of writing decimals, and the unit behind it.
pub(super) fn number(cell: &str) -> Option<(f64, &str)> {
    let end = cell
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '-' | '+')))
        .unwrap_or(cell.len());
    let (digits, unit) = cell.split_at(end);
    let value = digits.replacen(',', ".", 1).parse::<f64>().ok()?;
    (unit.trim().chars().count() <= 5).then_some((value, unit.trim()))
}

/// Whether decimals of a cell are written with a comma.
pub(super) fn has_comma(cell: &str) -> bool {
    number(cell).is_some() && cell.contains(',') && !cell.contains('.')
}

pub(super) const ORDERS: [DateOrder; 3] = [
    DateOrder::YearFirst,
    DateOrder::DayFirst,
    DateOrder::MonthFirst,
];

/// Whether a cell is a moment, a date or a time of day.
pub(super) fn is_time(cell: &str) -> bool {
    clock(cell).is_some()
        || ORDERS
            .iter()
            .any(|o| is_stamp(cell, *o) || is_date(cell, *o))
        || is_clock(cell)
}

pub(super) fn is_stamp(cell: &str, order: DateOrder) -> bool {
    stamp(cell, order).is_ok()
}

pub(super) fn is_date(cell: &str, order: DateOrder) -> bool {
    Stamp::joined(cell, "0:00", order).is_ok()
}

pub(super) fn is_clock(cell: &str) -> bool {
    Stamp::joined("2000-01-01", cell, DateOrder::YearFirst).is_ok()
}

/// Whether a moment names its offset from UTC.
pub(super) fn is_placed(cell: &str, order: DateOrder) -> bool {
    stamp(cell, order).is_ok_and(Stamp::has_offset)
}
