//! `[energy]` of `studio.toml`: what energy costs.

use jiff::civil::Time;
use toml::de::DeValue;

use super::hours::DAYS;
use super::row::Row;
use crate::tariff::{PriceTime, Tariff};

/// No price is higher.
const MOST: f64 = 10_000.0;

/// Reads the table.
pub(super) fn read(file: &Row<'_, '_>) -> Option<Tariff> {
    let row = file.inner(
        "energy",
        "Write [energy] and below it currency and price_per_kwh",
    )?;
    row.only(&["currency", "price_per_kwh", "price_per_kw", "times"]);
    let currency = row.text("currency");
    let price = row.number_in("price_per_kwh", 0.0, MOST);
    let draw = match row.find("price_per_kw") {
        Some(_) => row.number_in("price_per_kw", 0.0, MOST),
        None => Some(0.0),
    };
    let times = match row.find("times") {
        Some(_) => times(&row),
        None => Some(Vec::new()),
    };
    Some(Tariff {
        currency: currency?,
        per_kwh: price?,
        per_kw: draw?,
        times: times?,
    })
}

fn times(row: &Row<'_, '_>) -> Option<Vec<PriceTime>> {
    let rows = row.inners(
        "times",
        "Write [[energy.times]] and below it hours and price_per_kwh",
    )?;
    let read: Vec<_> = rows.iter().map(time).collect();
    read.into_iter().collect()
}

fn time(row: &Row<'_, '_>) -> Option<PriceTime> {
    row.only(&["hours", "days", "price_per_kwh"]);
    let span = span(row);
    let days = days(row);
    let price = row.number_in("price_per_kwh", 0.0, MOST);
    let (from, to) = span?;
    Some(PriceTime {
        from,
        to,
        days: days?,
        per_kwh: price?,
    })
}

fn span(row: &Row<'_, '_>) -> Option<(Time, Time)> {
    let text = row.text("hours")?;
    let read = |t: &str| Time::strptime("%H:%M", t.trim()).ok();
    let found = text
        .split_once(['-', '–'])
        .and_then(|(from, to)| Some((read(from)?, read(to)?)));
    if found.is_none() {
        row.fault(
            "hours",
            format!("\"{text}\" is no span of a day"),
            "Write two times of day, as \"22:00-06:00\"; the second may lie on the next day",
        );
    }
    found
}

/// All days when none are named.
fn days(row: &Row<'_, '_>) -> Option<[bool; 7]> {
    let Some(value) = row.find("days") else {
        return Some([true; 7]);
    };
    let remedy = "List days in quotes, as [\"saturday\", \"sunday\"]; leave it out for every day";
    let DeValue::Array(list) = value else {
        row.misfit("days", value, remedy);
        return None;
    };
    let mut days = [false; 7];
    for one in list {
        let day = match one.get_ref() {
            DeValue::String(s) => DAYS.iter().position(|d| *d == s.trim()),
            _ => None,
        };
        let Some(there) = day.and_then(|d| days.get_mut(d)) else {
            row.misfit("days", one.get_ref(), remedy);
            return None;
        };
        *there = true;
    }
    Some(days)
}
