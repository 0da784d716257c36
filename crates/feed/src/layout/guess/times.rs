//! Which column tells the time.

use super::signs::{ORDERS, Sign, is_clock, is_date, is_placed, is_stamp, sign, words};
use super::{Doubts, Table};
use crate::layout::{DateOrder, Tick, Time};
use crate::rows::clock;

/// Seconds since 1970 lie between these: from 2001 to 2286.
const UNIX: std::ops::Range<f64> = 1e9..1e10;

/// The time, and the columns that it takes.
pub(super) fn guess(table: &Table, doubts: &mut Doubts) -> (Time, Vec<usize>) {
    let columns = 0..table.width;
    let stamp = |at: usize, fits: fn(&str, DateOrder) -> bool| {
        let orders: Vec<_> = ORDERS
            .into_iter()
            .filter(|o| table.all(at, |c| fits(c, *o)))
            .collect();
        (!orders.is_empty()).then_some((at, orders))
    };
    if let Some((at, orders)) = columns.clone().find_map(|at| stamp(at, is_stamp)) {
        let order = decide(table, at, &orders, doubts);
        if !table.all(at, |c| is_placed(c, order)) {
            doubts.note(
                Some(at),
                "The times name no time zone; they are taken for the studio's.",
            );
        }
        let zone = None;
        return (Time::Stamp { at, order, zone }, vec![at]);
    }
    let dated = columns.clone().find_map(|at| stamp(at, is_date));
    let timed = columns.clone().find(|at| table.all(*at, is_clock));
    if let (Some((date, orders)), Some(time)) = (dated, timed) {
        let order = decide(table, date, &orders, doubts);
        doubts.note(
            Some(time),
            "The times name no time zone; they are taken for the studio's.",
        );
        let zone = None;
        let both = Time::DateAndTime {
            date,
            time,
            order,
            zone,
        };
        return (both, vec![date, time]);
    }
    if let Some(at) = columns
        .clone()
        .find(|at| table.all(*at, |c| clock(c).is_some()))
    {
        let begins = table.column(at).next().and_then(clock);
        if begins.is_some_and(|s| s > 600.0) {
            doubts.note(Some(at), "The time of day has no date. It is counted from the midnight before the log began, which must be given, and runs back at the next midnight.");
        }
        let unit = Tick::Clock;
        return (Time::Elapsed { at, unit }, vec![at]);
    }
    let numbers =
        columns.filter(|at| table.all(*at, |c| c.parse::<f64>().is_ok() || super::has_comma(c)));
    for at in numbers {
        let values = table.numbers(at);
        let within = |k: f64| values.iter().all(|v| UNIX.contains(&(v / k)));
        if within(1.0) || within(1000.0) {
            let thousandths = !within(1.0);
            return (Time::Unix { at, thousandths }, vec![at]);
        }
        let unit = match sign(&words(table.title(at))) {
            Some(Sign::Elapsed(Some(unit))) => unit,
            Some(Sign::Elapsed(None) | Sign::Time) => {
                let unit = tick(table.title(at));
                let name = if unit == Some(Tick::Minutes) {
                    "minutes"
                } else {
                    "seconds"
                };
                doubts.note(
                    Some(at),
                    format!("What the time is counted in is not certain; {name} were taken."),
                );
                unit.unwrap_or(Tick::Seconds)
            }
            _ => continue,
        };
        return (Time::Elapsed { at, unit }, vec![at]);
    }
    doubts.note(
        None,
        "No column of times was found; a row is taken to be from when it came.",
    );
    (Time::Arrival, Vec::new())
}

/// The unit beside the word time, as in `time_s`.
fn tick(title: &str) -> Option<Tick> {
    words(title).iter().find_map(|w| match w.as_str() {
        "s" | "sec" | "seconds" => Some(Tick::Seconds),
        "m" | "min" | "minutes" => Some(Tick::Minutes),
        "h" | "hrs" | "hours" => Some(Tick::Hours),
        _ => None,
    })
}

/// Of several ways to read all dates the likeliest.
fn decide(table: &Table, at: usize, orders: &[DateOrder], doubts: &mut Doubts) -> DateOrder {
    if let [only] = orders {
        return *only;
    }
    let first = table.column(at).next().unwrap_or("");
    if first.chars().take_while(char::is_ascii_digit).count() == 4 {
        return DateOrder::YearFirst;
    }
    let order = if first.contains('/') {
        DateOrder::MonthFirst
    } else {
        DateOrder::DayFirst
    };
    if !first.contains('.') {
        let name = if order == DateOrder::DayFirst {
            "day"
        } else {
            "month"
        };
        doubts.note(
            Some(at),
            format!("Day or month may come first; the {name} was taken."),
        );
    }
    order
}
