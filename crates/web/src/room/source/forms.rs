//! The form of each kind of source.

use glost_model::book::SourceKind;
use glost_studio::hear::form::{COLUMNS, ROLES, ROWS, UNITS};
use maud::{Markup, html};

use crate::app::Visit;
use crate::app::fields::{Fields, Look, hidden, options};

/// Rows of values that are in sight though empty.
const FREE: usize = 2;

pub fn of(v: &Visit, kind: SourceKind, f: Fields<'_>) -> Markup {
    html! {
        @match kind {
            SourceKind::Hand => p { "Whoever looks after the kiln writes down what its display shows, on the page of the firing." },
            SourceKind::File => (file(v, f)),
            SourceKind::Broker => (broker(v, f)),
            SourceKind::Controller => (controller(v, f)),
        }
        @if kind != SourceKind::Hand {
            details open[!f.typed.get("rehearsal").is_empty()] { summary { "Only a rehearsal?" }
                (f.text("rehearsal", "So many times as fast as a kiln", Look { keys: "numeric", optional: true, hint: "For readings of a synthetic kiln; its hours run ahead of the clock. Empty for a real kiln", ..Look::default() }))
            }
        }
    }
}

fn line(hint: &str) -> Look<'_> {
    Look {
        hint,
        ..Look::default()
    }
}

fn maybe(hint: &str) -> Look<'_> {
    Look {
        hint,
        optional: true,
        ..Look::default()
    }
}

fn file(v: &Visit, f: Fields<'_>) -> Markup {
    let Some(logs) = v.app.hear.logs() else {
        return html! { p.warn { "Glost was started without a folder of logs. Start it with " code { "--logs FOLDER" } ", or " code { "GLOST_LOGS" } "; files are read there and nowhere else." } };
    };
    let names = logs.names();
    let offered = names.as_deref().unwrap_or_default();
    let known = !f.typed.get("separator").is_empty();
    html! {
        @if let Err(e) = &names { p.warn { "The folder of logs cannot be looked into: " (e) "." } }
        (f.text("file", "File in the folder of logs", Look { list: "log-files", hint: "Its name, as heron.csv. One that is not there yet is waited for", ..Look::default() }))
        datalist id="log-files" { @for name in offered { option value=(name) {} } }
        @if known {
            p.steps { button type="submit" name="do" value="look" { "Look at the file anew" } }
            (layout(v, f))
        } @else {
            p { "Glost looks at its first lines and proposes how to read it; nothing is stored before you have looked it over." }
        }
    }
}

/// How a table is written and what its columns are.
pub fn layout(v: &Visit, f: Fields<'_>) -> Markup {
    html! {
            h2 { "How it is written" }
            (f.select("separator", "Between cells", "", &options([("comma", "comma"), ("semicolon", "semicolon"), ("tab", "tab"), ("bar", "bar")])))
            (f.choice("decimal", "Decimals", &[("point", "point"), ("comma", "comma")]))
            (f.text("skip", "Lines above the first row", Look { keys: "numeric", hint: "The last of them has the titles", ..Look::default() }))
            (hidden("width", f.typed.get("width")))
            (time(f))
            h2 { "What its columns are" }
            @for n in 0..columns(f) {
                (hidden(&format!("title.{n}"), f.typed.get(&format!("title.{n}"))))
                (value(f, n, &column(f, n)))
            }
            (terminals(v, f))
    }
}

/// Columns with a title or something read from them.
fn columns(f: Fields<'_>) -> usize {
    let used = |n: &usize| {
        ["title", "role"]
            .iter()
            .any(|name| !f.typed.get(&format!("{name}.{n}")).is_empty())
    };
    (0..COLUMNS).rev().find(used).map_or(1, |n| n + 1)
}

fn column(f: Fields<'_>, n: usize) -> String {
    match f.typed.get(&format!("title.{n}")) {
        "" => format!("Column {}", n + 1),
        title => format!("Column {}, '{title}'", n + 1),
    }
}

/// How times are written.
fn time(f: Fields<'_>) -> Markup {
    html! {
        (f.select("time_as", "The time is", "", &options([("stamp", "date and time"), ("unix", "seconds since 1970"), ("unix-ms", "thousandths of seconds since 1970"), ("seconds", "seconds since the start"), ("minutes", "minutes since the start"), ("hours", "hours since the start"), ("clock", "h:mm since the start")])))
        (f.select("order", "Dates begin with", "", &options([("year", "the year"), ("day", "the day"), ("month", "the month")])))
        (f.text("zone", "Time zone of times that name none", maybe("As Europe/Dublin or +01:00; empty for the studio's")))
    }
}

fn terminals(v: &Visit, f: Fields<'_>) -> Markup {
    let shown = v.shown();
    html! {
        @if shown.fahrenheit { (hidden("cold_unit", "F")) }
        (f.text("cold", "Terminals of a thermocouple that is read in mV", Look { keys: "decimal", unit: shown.degree_sign(), optional: true, hint: "Where nothing tells how warm they are", ..Look::default() }))
    }
}

/// What one value is.
fn value(f: Fields<'_>, n: usize, label: &str) -> Markup {
    let named = f.typed.get(&format!("role.{n}")) == "other";
    html! { fieldset.choice { legend { (label) }
        div.row {
            (f.select(&format!("role.{n}"), "It is", "", &options(ROLES)))
            (f.select(&format!("unit.{n}"), "Unit, if a temperature", "", &options(UNITS)))
            (f.text(&format!("name.{n}"), "Name, of a further sensor", maybe(if named { "Where it sits" } else { "" })))
        }
    } }
}

/// Rows that are filled in, and some more.
fn rows(f: Fields<'_>, name: &str) -> usize {
    let used = |n: &usize| !f.typed.get(&format!("{name}.{n}")).is_empty();
    let last = (0..ROWS).rev().find(used).map_or(0, |n| n + 1);
    (last + FREE).min(ROWS)
}

fn broker(v: &Visit, f: Fields<'_>) -> Markup {
    html! {
        p { "The connection is not encrypted: keep the broker in the studio's own network. Glost subscribes and never publishes where a kiln speaks." }
        (f.text("host", "Broker and port", line("As 192.168.1.20:1883")))
        (f.text("login", "Name to sign in with", maybe("")))
        (f.text("secret", "Password", maybe("Name of an environment variable GLOST_SECRET_…, never the secret itself")))
        h2 { "What is listened to" }
        p { "A message that is a number alone: its topic is enough. Values in an object of JSON: a row for each, with where it stands, as " code { "/kiln/pv" } "." }
        @for n in 0..rows(f, "topic") { fieldset.choice { legend { "Value " (n + 1) }
            (f.text(&format!("topic.{n}"), "Topic", maybe("In full, without + or #")))
            (f.text(&format!("pointer.{n}"), "Where it stands in the message", maybe("Empty for a number alone")))
            (value(f, n, "What it is"))
        } }
        details open[!f.typed.get("time_as").is_empty()] { summary { "Times in messages" } (time(f)) }
        (terminals(v, f))
    }
}

fn controller(v: &Visit, f: Fields<'_>) -> Markup {
    html! {
        p { "Glost asks for registers (functions 3 and 4) and has no way to write one. If the controller has a switch or password against writing, leave it on. Wiring is for people licensed to do it, with the kiln off at the isolator." }
        (f.text("host", "Controller and port", line("As 192.168.1.30:502")))
        (f.text("unit_number", "Unit", Look { keys: "numeric", optional: true, hint: "1 unless it is behind a gateway", ..Look::default() }))
        (f.text("every_s", "Asked each", Look { keys: "numeric", unit: "s", optional: true, hint: "10 unless said", ..Look::default() }))
        h2 { "Its registers" }
        p { "From the controller's manual. Addresses as sent, from 0: a table's 40001 or 30001 is address 0." }
        @for n in 0..rows(f, "address") { fieldset.choice { legend { "Register " (n + 1) }
            div.row {
                (f.text(&format!("address.{n}"), "Address", Look { keys: "numeric", optional: true, ..Look::default() }))
                (f.select(&format!("bank.{n}"), "Bank", "", &options([("holding", "holding"), ("input", "input")])))
                (f.select(&format!("kind.{n}"), "Coded as", "", &options([("i16", "i16"), ("u16", "u16"), ("i32", "i32, two words"), ("u32", "u32, two words"), ("f32", "f32, two words")])))
                (f.select(&format!("low.{n}"), "Of two words first", "", &options([("no", "the high one"), ("yes", "the low one")])))
                (f.text(&format!("scale.{n}"), "One step is worth", Look { keys: "decimal", optional: true, hint: "1, or 0.1 where 12225 means 1222.5", ..Look::default() }))
                (f.text(&format!("absent.{n}"), "Number for no reading", maybe("")))
            }
            (value(f, n, "What it holds"))
        } }
        (terminals(v, f))
    }
}
