//! Times as loggers write them.

use jiff::civil::{Date, DateTime, Time};
use jiff::tz::{AmbiguousOffset, Offset, TimeZone};
use jiff::{SignedDuration, Timestamp};

use super::number::decimal;
use crate::cell::{Wrong, short};
use crate::layout::{DateOrder, Tick};

/// Longest log, as for a log of the handbook's format.
const MOST_H: f64 = 366.0 * 24.0;

pub(crate) fn missing() -> Wrong {
    (
        "the row has no time".to_owned(),
        "Give the row its time, or correct the layout".to_owned(),
    )
}

fn no_time(text: &str, like: &str) -> Wrong {
    (
        format!("'{}' is not a time", short(text)),
        format!("The layout wants it like {like}: correct one of the two"),
    )
}

/// Date and time of day, with the offset from UTC where it is written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Stamp {
    civil: DateTime,
    offset: Option<Offset>,
}

/// Reads date and time of day out of one cell.
pub(crate) fn stamp(text: &str, order: DateOrder) -> Result<Stamp, Wrong> {
    let cut = text.find(['T', 't', ' ', '_']);
    let parts = cut.and_then(|c| Some((text.get(..c)?, text.get(c + 1..)?)));
    let (day, clock) = parts.ok_or_else(|| no_time(text, example(order)))?;
    Stamp::joined(day, clock, order)
}

fn example(order: DateOrder) -> &'static str {
    match order {
        DateOrder::YearFirst => "2026-11-25 14:05:00",
        DateOrder::DayFirst => "25.11.2026 14:05:00",
        DateOrder::MonthFirst => "11/25/2026 14:05:00",
    }
}

impl Stamp {
    /// Reads date and time of day out of two cells.
    pub(crate) fn joined(day: &str, clock: &str, order: DateOrder) -> Result<Self, Wrong> {
        let read = || {
            let (clock, offset) = offset(clock.trim())?;
            Some(Self {
                civil: date(day.trim(), order)?.to_datetime(time(clock.trim())?),
                offset,
            })
        };
        read().ok_or_else(|| no_time(&format!("{day} {clock}"), example(order)))
    }

    pub(crate) const fn has_offset(self) -> bool {
        self.offset.is_some()
    }

    /// The moment meant. An hour that comes twice as clocks go back is the first while times run forward so.
    pub(crate) fn on(self, zone: &TimeZone, latest: Option<Timestamp>) -> Result<Timestamp, Wrong> {
        let bad = || no_time(&self.civil.to_string(), "one of this calendar");
        if let Some(offset) = self.offset {
            return offset.to_timestamp(self.civil).map_err(|_e| bad());
        }
        let found = zone.to_ambiguous_timestamp(self.civil);
        match found.offset() {
            AmbiguousOffset::Unambiguous { .. } => found.unambiguous().map_err(|_e| bad()),
            AmbiguousOffset::Fold { .. } => {
                let (first, second) = (found.earlier(), found.later());
                let (first, second) = (first.map_err(|_e| bad())?, second.map_err(|_e| bad())?);
                Ok(match latest {
                    Some(latest) if latest > first => second,
                    _ => first,
                })
            }
            AmbiguousOffset::Gap { .. } => Err((
                format!("there was no {} here: clocks went forward", self.civil),
                "The logger's clock stays on winter time: give its offset from UTC in the layout, as +01:00"
                    .to_owned(),
            )),
        }
    }
}

fn whole(text: &str, digits: usize) -> Option<i16> {
    let fits = (1..=digits).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit());
    fits.then(|| text.parse().ok()).flatten()
}

fn small(text: &str) -> Option<i8> {
    whole(text, 2).and_then(|n| i8::try_from(n).ok())
}

fn date(text: &str, order: DateOrder) -> Option<Date> {
    let mut parts = text.split(['-', '/', '.']);
    let (a, b, c) = (parts.next()?, parts.next()?, parts.next()?);
    if parts.next().is_some() {
        return None;
    }
    let order = if a.len() == 4 {
        DateOrder::YearFirst
    } else {
        order
    };
    let (year, month, day) = match order {
        DateOrder::YearFirst => (a, b, c),
        DateOrder::DayFirst => (c, b, a),
        DateOrder::MonthFirst => (c, a, b),
    };
    let year = match year.len() {
        2 => 2000 + whole(year, 2)?,
        4 => whole(year, 4)?,
        _ => return None,
    };
    Date::new(year, small(month)?, small(day)?).ok()
}

/// `h:mm`, `h:mm:ss` or `h:mm:ss.fff`, with am or pm behind it or not.
fn time(text: &str) -> Option<Time> {
    let digits = text.trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == '.' || c == ' ');
    let half = text.get(digits.len()..)?.replace(['.', ' '], "");
    let mut parts = digits.split(':');
    let (hour, minute) = (small(parts.next()?)?, small(parts.next()?)?);
    let (second, nano) = match parts.next() {
        None => (0, 0),
        Some(s) => second(s)?,
    };
    if parts.next().is_some() {
        return None;
    }
    let hour = match half.to_ascii_lowercase().as_str() {
        "" => hour,
        "am" if (1..=12).contains(&hour) => hour % 12,
        "pm" if (1..=12).contains(&hour) => hour % 12 + 12,
        _ => return None,
    };
    Time::new(hour, minute, second, nano).ok()
}

fn second(text: &str) -> Option<(i8, i32)> {
    let Some((whole, part)) = text.split_once(['.', ',']) else {
        return Some((small(text)?, 0));
    };
    if part.is_empty() || !part.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let nine: String = part.chars().chain("000000000".chars()).take(9).collect();
    Some((small(whole)?, nine.parse().ok()?))
}

/// Takes `Z` or an offset as `+01:00`, `+0100` or `+01` off the end.
fn offset(text: &str) -> Option<(&str, Option<Offset>)> {
    // A name in brackets only repeats what the offset says.
    let text = text.split('[').next().unwrap_or(text).trim();
    if let Some(rest) = text.strip_suffix(['Z', 'z']) {
        return Some((rest, Some(Offset::UTC)));
    }
    let Some(at) = text.rfind(['+', '-']) else {
        return Some((text, None));
    };
    Some((text.get(..at)?, Some(fixed(text.get(at..)?)?)))
}

/// An offset from UTC as it is written.
pub(crate) fn fixed(text: &str) -> Option<Offset> {
    let sign = match text.get(..1)? {
        "+" => 1,
        "-" => -1,
        _ => return None,
    };
    let digits = text.get(1..)?.replace(':', "");
    let (hours, minutes) = match digits.len() {
        2 => (small(&digits)?, 0),
        4 => (small(digits.get(..2)?)?, small(digits.get(2..)?)?),
        _ => return None,
    };
    let seconds = i32::from(hours) * 3600 + i32::from(minutes) * 60;
    (minutes < 60).then(|| Offset::from_seconds(sign * seconds).ok())?
}

pub(crate) fn unix(text: &str, thousandths: bool, comma: bool) -> Result<Timestamp, Wrong> {
    let n = decimal(text, comma, &[])?;
    let seconds = if thousandths { n / 1000.0 } else { n };
    let found = SignedDuration::try_from_secs_f64(seconds).ok();
    found
        .and_then(|d| Timestamp::from_duration(d).ok())
        .ok_or_else(|| no_time(text, "seconds since 1970"))
}

pub(crate) fn elapsed(text: &str, unit: Tick, comma: bool) -> Result<SignedDuration, Wrong> {
    let seconds = match unit {
        Tick::Seconds => decimal(text, comma, &["s", "sec"])?,
        Tick::Minutes => decimal(text, comma, &["min", "m"])? * 60.0,
        Tick::Hours => decimal(text, comma, &["h"])? * 3600.0,
        Tick::Clock => clock(text).ok_or_else(|| no_time(text, "12:05:30"))?,
    };
    let found = (0.0..=MOST_H * 3600.0)
        .contains(&seconds)
        .then(|| SignedDuration::try_from_secs_f64(seconds).ok())
        .flatten();
    found.ok_or_else(|| {
        (
            format!("{} is out of bounds", short(text)),
            "Count the time from the start of the log, up to 366 days".to_owned(),
        )
    })
}

/// Hours and minutes since the beginning; hours may be many.
pub(crate) fn clock(text: &str) -> Option<f64> {
    let mut parts = text.split(':');
    let (hours, minutes) = (whole(parts.next()?, 4)?, small(parts.next()?)?);
    let (s, nano) = parts.next().map_or(Some((0, 0)), second)?;
    if parts.next().is_some() || minutes > 59 || s > 59 {
        return None;
    }
    Some(
        f64::from(hours) * 3600.0
            + f64::from(minutes) * 60.0
            + f64::from(s)
            + f64::from(nano) * 1e-9,
    )
}
