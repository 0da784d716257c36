//! `[hours]` of `studio.toml`: when somebody is there.

use jiff::civil::{Date, Time};
use jiff::tz::TimeZone;
use toml::de::DeValue;

use super::row::Row;
use crate::Span;
use crate::hours::{Hours, Shift};

/// Names of the days, from Monday.
pub(super) const DAYS: [&str; 7] = [
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
];

/// Reads the table; what is left out stays as usual. Days that are not named are days off as soon as
/// one is.
pub(super) fn read(file: &Row<'_, '_>) -> Option<Hours> {
    if file.find("hours").is_none() {
        return Some(Hours::default());
    }
    let row = file.inner(
        "hours",
        "Write [hours] and below it the days on which somebody is there, as monday = \"09:00-17:00\"",
    )?;
    let known: Vec<&str> = DAYS
        .into_iter()
        .chain([
            "time_zone",
            "closed",
            "loading_hours",
            "unloading_hours",
            "delayed_start",
        ])
        .collect();
    row.only(&known);
    let usual = Hours::default();
    let time_zone = time_zone(&row);
    let week = week(&row);
    let closed = closed(&row);
    let loading = span(&row, "loading_hours", usual.loading);
    let unloading = span(&row, "unloading_hours", usual.unloading);
    let delayed_start = row.flag("delayed_start");
    Some(Hours {
        time_zone: time_zone?,
        week: week?,
        closed: closed?,
        loading: loading?,
        unloading: unloading?,
        delayed_start: delayed_start?,
    })
}

fn time_zone(row: &Row<'_, '_>) -> Option<Option<String>> {
    if row.find("time_zone").is_none() {
        return Some(None);
    }
    let name = row.text("time_zone")?;
    if TimeZone::get(&name).is_ok() {
        return Some(Some(name));
    }
    row.fault(
        "time_zone",
        format!("this machine knows no time zone \"{name}\""),
        "Write a name of the IANA list, as \"Europe/Dublin\", or leave it out to take the machine's",
    );
    None
}

fn week(row: &Row<'_, '_>) -> Option<[Option<Shift>; 7]> {
    if DAYS.iter().all(|d| row.find(d).is_none()) {
        return Some(Hours::default().week);
    }
    let mut week = [None; 7];
    let mut whole = true;
    for (day, name) in week.iter_mut().zip(DAYS) {
        if row.find(name).is_some() {
            *day = shift(row, name);
            whole &= day.is_some();
        }
    }
    whole.then_some(week)
}

fn shift(row: &Row<'_, '_>, day: &str) -> Option<Shift> {
    let text = row.text(day)?;
    let read = |t: &str| Time::strptime("%H:%M", t.trim()).ok();
    let found = text
        .split_once(['-', '–'])
        .and_then(|(from, to)| Some((read(from)?, read(to)?)))
        .filter(|(from, to)| from < to);
    if found.is_none() {
        row.fault(
            day,
            format!("\"{text}\" is no span of a day"),
            "Write two times of day, the earlier first, as \"09:00-17:00\"; leave out days on which nobody is there",
        );
    }
    found.map(|(from, to)| Shift { from, to })
}

fn closed(row: &Row<'_, '_>) -> Option<Vec<Date>> {
    let Some(value) = row.find("closed") else {
        return Some(Vec::new());
    };
    let remedy = "List days in quotes, as [\"2026-12-25\", \"2026-12-26\"]";
    let DeValue::Array(list) = value else {
        row.misfit("closed", value, remedy);
        return None;
    };
    let mut days = Vec::new();
    for one in list {
        let day = match one.get_ref() {
            DeValue::String(s) => s.trim().parse::<Date>().ok(),
            _ => None,
        };
        match day {
            Some(day) => days.push(day),
            None => row.misfit("closed", one.get_ref(), remedy),
        }
    }
    (days.len() == list.len()).then_some(days)
}

/// Hours of work; a tenth of an hour to a day.
fn span(row: &Row<'_, '_>, key: &str, usual: Span) -> Option<Span> {
    if row.find(key).is_some() {
        row.number_in(key, 0.1, 24.0).map(Span::h)
    } else {
        Some(usual)
    }
}
