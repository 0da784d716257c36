//! A file that a logger writes, as a form.

use glost_feed::layout::{Column, DateOrder, Layout, Separator, Tick, Time, no_reading};

use super::{Asked, COLUMNS, Written, role};
use crate::hear::{FileWay, Logs};

const SEPARATORS: [(&str, Separator); 4] = [
    ("comma", Separator::Comma),
    ("semicolon", Separator::Semicolon),
    ("tab", Separator::Tab),
    ("bar", Separator::Bar),
];
const ORDERS: [(&str, DateOrder); 3] = [
    ("year", DateOrder::YearFirst),
    ("day", DateOrder::DayFirst),
    ("month", DateOrder::MonthFirst),
];
const TICKS: [(&str, Tick); 4] = [
    ("seconds", Tick::Seconds),
    ("minutes", Tick::Minutes),
    ("hours", Tick::Hours),
    ("clock", Tick::Clock),
];

fn of_word<T: Copy>(all: &[(&str, T)], word: &str) -> Option<T> {
    all.iter().find(|a| a.0 == word).map(|a| a.1)
}

fn word<T: PartialEq>(all: &[(&'static str, T)], value: &T) -> &'static str {
    all.iter().find(|a| a.1 == *value).map_or("", |a| a.0)
}

/// The name of the file.
pub fn name(asked: &mut Asked<'_>, logs: &Logs) -> Option<String> {
    let file = asked.get("file");
    match logs.path(file) {
        Ok(_) => Some(file.to_owned()),
        Err((what, remedy)) => {
            asked.fault("file", what, remedy);
            None
        }
    }
}

/// How the times of rows or messages are told by these fields; `at` finds the row of a role.
pub fn time(asked: &mut Asked<'_>, at: impl Fn(&str) -> Option<usize>) -> Option<Time> {
    let order = of_word(&ORDERS, asked.get("order")).unwrap_or(DateOrder::YearFirst);
    let zone = Some(asked.get("zone").to_owned()).filter(|z| !z.is_empty());
    let (date, time) = (at("date"), at("time"));
    let Some(time) = time else {
        asked.fault(
            "time_as",
            "no column is the time",
            "Say which column tells the time",
        );
        return None;
    };
    Some(match (asked.get("time_as"), date) {
        ("unix", _) => Time::Unix {
            at: time,
            thousandths: false,
        },
        ("unix-ms", _) => Time::Unix {
            at: time,
            thousandths: true,
        },
        ("stamp" | "", Some(date)) => Time::DateAndTime {
            date,
            time,
            order,
            zone,
        },
        ("stamp" | "", None) => Time::Stamp {
            at: time,
            order,
            zone,
        },
        (text, _) => {
            let Some(unit) = of_word(&TICKS, text) else {
                asked.fault("time_as", "that is none of the choices", "Choose one");
                return None;
            };
            Time::Elapsed { at: time, unit }
        }
    })
}

pub fn read(asked: &mut Asked<'_>, logs: Option<&Logs>) -> Option<FileWay> {
    let Some(logs) = logs else {
        let (what, remedy) = crate::hear::task::no_logs();
        asked.fault("file", what, remedy);
        return None;
    };
    let file = name(asked, logs);
    let layout = layout(asked)?;
    Some(FileWay {
        file: file?,
        layout,
    })
}

/// How a file is written.
pub fn layout(asked: &mut Asked<'_>) -> Option<Layout> {
    let cold = role::cold(asked, COLUMNS);
    let mut columns = Vec::new();
    for at in 0..COLUMNS {
        columns.extend(role::holds(asked, at, cold).map(|holds| Column { at, holds }));
    }
    let roles: Vec<&str> = (0..COLUMNS).map(|n| asked.row("role", n)).collect();
    let time = time(asked, |role| roles.iter().position(|r| *r == role));
    let skip = asked.number("skip", 1, "Write how many lines stand above the first row");
    let width = asked.number("width", 0, "Look at the file again").min(1000);
    let titled: Vec<String> = (0..COLUMNS)
        .map(|n| asked.row("title", n).to_owned())
        .collect();
    let last = titled.iter().rposition(|t| !t.is_empty());
    let layout = Layout {
        separator: of_word(&SEPARATORS, asked.get("separator")).unwrap_or(Separator::Comma),
        decimal_comma: asked.get("decimal") == "comma",
        skip,
        titles: last.map_or_else(Vec::new, |l| titled.into_iter().take(l + 1).collect()),
        width,
        time: time?,
        columns,
        absent: no_reading(),
    };
    check(asked, &layout);
    Some(layout)
}

/// Faults of a layout stand at the form as a whole.
fn check(asked: &mut Asked<'_>, layout: &Layout) {
    let zone = jiff::tz::TimeZone::UTC;
    let zero = Some(jiff::Timestamp::UNIX_EPOCH);
    let made = glost_feed::Rows::new(layout.clone(), &zone, zero, "", crate::follow::hot_end);
    for fault in made.err().into_iter().flatten() {
        let what = match fault.field.as_str() {
            "" | "columns" => fault.what,
            field => format!("{field}: {}", fault.what),
        };
        asked.fault("role.0", what, fault.remedy);
    }
}

pub fn written(layout: &Layout) -> Written {
    let mut all = Written::new();
    let mut put = |name: &str, value: String| all.push((name.to_owned(), value));
    put("separator", word(&SEPARATORS, &layout.separator).to_owned());
    let decimal = if layout.decimal_comma {
        "comma"
    } else {
        "point"
    };
    put("decimal", decimal.to_owned());
    put("skip", layout.skip.to_string());
    put("width", layout.width.to_string());
    for (n, title) in layout.titles.iter().take(COLUMNS).enumerate() {
        put(&format!("title.{n}"), title.clone());
    }
    for column in layout.columns.iter().filter(|c| c.at < COLUMNS) {
        role::written(&mut all, column.at, &column.holds);
    }
    time_written(&mut all, &layout.time);
    all
}

pub fn time_written(all: &mut Written, time: &Time) {
    let mut put = |name: String, value: &str| all.push((name, value.to_owned()));
    let role = |at: &usize| format!("role.{at}");
    let as_ = "time_as".to_owned();
    match time {
        Time::Arrival => {}
        Time::Stamp { at, order, zone } => {
            put(role(at), "time");
            put(as_, "stamp");
            put("order".to_owned(), word(&ORDERS, order));
            put("zone".to_owned(), zone.as_deref().unwrap_or(""));
        }
        Time::DateAndTime {
            date,
            time,
            order,
            zone,
        } => {
            put(role(date), "date");
            put(role(time), "time");
            put(as_, "stamp");
            put("order".to_owned(), word(&ORDERS, order));
            put("zone".to_owned(), zone.as_deref().unwrap_or(""));
        }
        Time::Unix { at, thousandths } => {
            put(role(at), "time");
            put(as_, if *thousandths { "unix-ms" } else { "unix" });
        }
        Time::Elapsed { at, unit } => {
            put(role(at), "time");
            put(as_, word(&TICKS, unit));
        }
    }
}
