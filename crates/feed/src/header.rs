//! The first line of a log.

use std::collections::BTreeSet;

use jiff::Timestamp;

use glost_model::Span;

use crate::cell::{Faults, Scale, Wrong, cells, number, short};

/// How the first column tells the time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Clock {
    /// Date and time of day with its offset.
    Stamp,
    Seconds,
    Minutes,
    Hours,
}

/// When a line was written: on the calendar, or since the log began.
#[derive(Debug, Clone, Copy)]
pub(crate) enum When {
    Stamp(Timestamp),
    Elapsed(Span),
}

/// A column of readings.
pub(crate) struct Column {
    pub(crate) title: String,
    pub(crate) name: String,
    pub(crate) scale: Scale,
}

/// What the first line says.
pub(crate) struct Header {
    pub(crate) clock: Clock,
    pub(crate) columns: Vec<Column>,
}

const TIMES: [(&str, Clock); 4] = [
    ("time", Clock::Stamp),
    ("seconds", Clock::Seconds),
    ("minutes", Clock::Minutes),
    ("hours", Clock::Hours),
];
/// Longest log.
const MOST_H: f64 = 366.0 * 24.0;

impl Clock {
    pub(crate) fn title(self) -> &'static str {
        TIMES.iter().find(|(_, c)| *c == self).map_or("", |t| t.0)
    }

    pub(crate) fn read(self, text: &str) -> Result<When, Wrong> {
        if text.is_empty() {
            return Err((
                "the cell is empty".to_owned(),
                "Give the line its time, or take it out".to_owned(),
            ));
        }
        let elapsed = |unit: fn(f64) -> Span| {
            let n = number(text).map_err(|(what, _)| {
                let remedy = "Write a number without a unit, with a point for decimals";
                (what, remedy.to_owned())
            })?;
            if (0.0..=MOST_H).contains(&unit(n).to_h()) {
                return Ok(When::Elapsed(unit(n)));
            }
            Err((
                format!("{} {} is out of bounds", short(text), self.title()),
                "Count the time from the start of the log, up to 366 days".to_owned(),
            ))
        };
        match self {
            Self::Seconds => elapsed(Span::s),
            Self::Minutes => elapsed(Span::minutes),
            Self::Hours => elapsed(Span::h),
            Self::Stamp => text.parse().map(When::Stamp).map_err(|_e| {
                (
                    format!("'{}' is not a time with its offset", short(text)),
                    "Write it as 2026-11-25T14:05:00Z, or with the offset from UTC as 2026-11-25T15:05:00+01:00".to_owned(),
                )
            }),
        }
    }
}

/// Reads the first line; nothing when any part of it is unknown.
pub(crate) fn read(line: usize, text: &str, faults: &mut Faults<'_>) -> Option<Header> {
    let at = Some(line);
    let mut titles = cells(text);
    let first = titles.next().unwrap_or("");
    let clock = TIMES.iter().find(|(t, _)| *t == first).map(|(_, c)| *c);
    if clock.is_none() {
        let all = TIMES.map(|(t, _)| t).join(", ");
        let mut remedy = format!("Name the first column one of {all}");
        if text.contains([';', '\t']) && !text.contains(',') {
            remedy.push_str(", and put commas between the columns");
        }
        faults.note(
            at,
            first,
            (format!("'{}' is no column of times", short(first)), remedy),
        );
    }
    let mut columns = Vec::new();
    let mut seen = BTreeSet::new();
    let mut whole = true;
    for title in titles {
        let named = [("_c", Scale::Celsius), ("_f", Scale::Fahrenheit)]
            .into_iter()
            .find_map(|(end, scale)| Some((title.strip_suffix(end)?, scale)));
        let wrong = match named {
            Some((name, scale)) if !name.trim().is_empty() => {
                if seen.insert(name.to_owned()) {
                    columns.push(Column {
                        title: title.to_owned(),
                        name: name.to_owned(),
                        scale,
                    });
                    continue;
                }
                (
                    format!("the channel '{}' is there twice", short(name)),
                    "Take out one of the two, or give each its own name".to_owned(),
                )
            }
            _ => (
                format!("'{}' is not a column of a log", short(title)),
                "Name a column of readings by its channel and unit, as top_c or top_f; take others out".to_owned(),
            ),
        };
        whole = false;
        faults.note(at, title, wrong);
    }
    if whole && columns.is_empty() && clock.is_some() {
        whole = false;
        let remedy =
            "Add a column for each sensor, named by its channel and unit, as top_c or top_f";
        faults.note(
            at,
            "",
            (
                "there is no column of readings".to_owned(),
                remedy.to_owned(),
            ),
        );
    }
    let clock = clock?;
    whole.then_some(Header { clock, columns })
}
