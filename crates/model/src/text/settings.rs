//! What a studio is set to, from a form and for a form.

use std::collections::BTreeMap;

use super::fields::{Fields, Record, Value};
use super::hours::DAYS;
use super::pen::{self, Pen};
use super::row::{Row, each};
use super::spot::Page;
use super::studio;
use super::units::{Units, from_zero, solid};
use super::{ways, words};
use crate::book::Settings;
use crate::charge::{By, ByKind, Hire, Measured, Scheme};
use crate::fault::Fault;
use crate::hours::Shift;
use crate::shown::Shown;
use crate::{Area, Length, Money};

/// Most that a price may be, as for energy.
const MOST: f64 = 10_000.0;

/// Settings as a form has them, lengths in the units of whoever reads it. Names are those of `studio.toml`:
/// `energy.price_per_kwh`, `energy.times.0.hours`, `hours.monday`, `rules.gap-ware`; besides them `length`, `mass`
/// and `temperature` for the units, `keep_days`, `post_section`, `scheme.measure`, `ways.webhook`
/// and the like.
pub fn settings_fields(s: &Settings, shown: Shown) -> Fields {
    let pen = Pen(shown);
    let mut r = Record::default();
    r.text("name", &s.name);
    r.text("length", if s.shown.inches { "in" } else { "mm" });
    r.text("mass", if s.shown.pounds { "lb" } else { "kg" });
    r.text("temperature", if s.shown.fahrenheit { "F" } else { "C" });
    r.number("keep_days", s.keep_days.to_string());
    r.number("post_section", pen.length(s.post_section));
    r.put("energy", Value::Table(energy(s)));
    r.put("hours", Value::Table(hours(s)));
    r.put("scheme", Value::Table(scheme(&s.scheme, pen)));
    let mut rules = Record::default();
    for (id, value) in &s.rule_overrides {
        rules.text(id, value);
    }
    r.put("rules", Value::Table(rules));
    r.put("ways", ways::fields(&s.ways));
    r.fields()
}

fn energy(s: &Settings) -> Record {
    let mut r = Record::default();
    r.text("currency", &s.tariff.currency);
    r.number("price_per_kwh", pen::plain(s.tariff.per_kwh));
    r.number("price_per_kw", pen::plain(s.tariff.per_kw));
    let times = s.tariff.times.iter().map(|t| {
        let mut r = Record::default();
        r.text("hours", &span(t.from, t.to));
        let named = DAYS.iter().zip(t.days).filter(|(_, on)| *on);
        r.put(
            "days",
            Value::Words(named.map(|(d, _)| (*d).to_owned()).collect()),
        );
        r.number("price_per_kwh", pen::plain(t.per_kwh));
        r
    });
    r.put("times", Value::List(times.collect()));
    r
}

fn span(from: jiff::civil::Time, to: jiff::civil::Time) -> String {
    let say = |t: jiff::civil::Time| t.strftime("%H:%M").to_string();
    format!("{}-{}", say(from), say(to))
}

fn hours(s: &Settings) -> Record {
    let mut r = Record::default();
    let h = &s.hours;
    r.text("time_zone", h.time_zone.as_deref().unwrap_or(""));
    for (day, shift) in DAYS.iter().zip(h.week) {
        let words = shift.map_or_else(String::new, |Shift { from, to }| span(from, to));
        r.text(day, &words);
    }
    let closed = h.closed.iter().map(ToString::to_string).collect();
    r.put("closed", Value::Words(closed));
    r.number("loading_hours", pen::hours(h.loading));
    r.number("unloading_hours", pen::hours(h.unloading));
    r.flag("delayed_start", h.delayed_start);
    r
}

const MEASURE: &[(&str, By)] = &[
    ("nothing", By::Nothing),
    ("volume", By::Volume),
    ("mass", By::Mass),
    ("footprint", By::Footprint),
    ("shelf", By::Shelf { area: Area::ZERO }),
    ("piece", By::Piece),
];

const MEASURED: &[(&str, Measured)] = &[("metric", Measured::Metric), ("inches", Measured::Inches)];

fn amount(money: Money) -> String {
    pen::plain(money.to_units())
}

fn scheme(s: &Scheme, pen: Pen) -> Record {
    let mut r = Record::default();
    let (word, area) = match s.by {
        By::Nothing => ("nothing", None),
        By::Volume => ("volume", None),
        By::Mass => ("mass", None),
        By::Footprint => ("footprint", None),
        By::Shelf { area } => ("shelf", Some(area)),
        By::Piece => ("piece", None),
    };
    r.text("measure", word);
    r.text("shelf_area", &area.map_or_else(String::new, shelf_area));
    r.text("measured", words::say(MEASURED, &s.measured));
    r.number("bisque", pen::plain(s.price.bisque));
    r.number("glaze", pen::plain(s.price.glaze));
    r.number("each", amount(s.each));
    r.number("stilted", amount(s.stilted));
    r.number("least", amount(s.least));
    let low = s.low_counts_as.map_or_else(String::new, |l| pen.length(l));
    r.number("low_counts_as", low);
    r.flag("supports_counted", s.supports_counted);
    let kilns = s.kilns.iter().map(|h| {
        let mut r = Record::default();
        r.text("kiln", &h.kiln);
        r.number("whole_bisque", amount(h.whole.bisque));
        r.number("whole_glaze", amount(h.whole.glaze));
        let half =
            |of: fn(ByKind<Money>) -> Money| h.half.map_or_else(String::new, |h| amount(of(h)));
        r.number("half_bisque", half(|h| h.bisque));
        r.number("half_glaze", half(|h| h.glaze));
        r
    });
    r.put("kilns", Value::List(kilns.collect()));
    r
}

/// The area of the shelf that a price is for, as `scheme.shelf_area` has it: m².
pub fn shelf_area(area: Area) -> String {
    pen::plain(area.to_m2())
}

/// Reads settings. Rules of one's own are taken over as typed: the rules crate knows them.
///
/// # Errors
/// Every fault, each with the name of its field. Name, energy and hours go through the checks of `studio.toml`.
pub fn read_settings(fields: &Fields, shown: Shown) -> Result<Settings, Vec<Fault>> {
    let (record, rows) = gather(fields);
    let text = format!("# form\n{}", record.toml());
    let page = Page::form(super::STUDIO, &text, rows);
    let read = page
        .table()
        .and_then(|t| settings(&Row::whole(&page, &t), Units::of(shown)));
    let faults = page.into_faults();
    match read {
        Some(read) if faults.is_empty() => Ok(read),
        _ => Err(faults),
    }
}

fn settings(row: &Row<'_, '_>, units: Units) -> Option<Settings> {
    let inches = row.word("length", &[("mm", false), ("in", true)]);
    let pounds = row.word("mass", &[("kg", false), ("lb", true)]);
    let fahrenheit = row.word("temperature", &[("C", false), ("F", true)]);
    somebody_is_there(row);
    let head = studio::head(row);
    let keep_days = row.count("keep_days", 1, 3650);
    let post_section = row.length("post_section", units, solid(0.3));
    let scheme = row
        .inner("scheme", "Choose how ware is charged")
        .and_then(|r| read_scheme(&r, units));
    let ways = row
        .inner("ways", "Write how people are told")
        .and_then(|r| ways::read(&r));
    let head = head?;
    Some(Settings {
        name: head.name,
        shown: Shown {
            fahrenheit: fahrenheit?,
            inches: inches?,
            pounds: pounds?,
        },
        tariff: head.tariff,
        hours: head.hours,
        rule_overrides: head.rule_overrides,
        keep_days: keep_days?,
        scheme: scheme?,
        ways: ways?,
        post_section: post_section?,
    })
}

/// A file without days means office hours; a form in which all are empty means nothing.
fn somebody_is_there(row: &Row<'_, '_>) {
    let hours = row.inner("hours", "Write the hours");
    if hours.is_some_and(|h| DAYS.iter().all(|d| h.find(d).is_none())) {
        row.page().fault(
            None,
            "hours.monday",
            "nobody is there on any day".to_owned(),
            "Write the hours of one day at least, as 09:00-17:00",
        );
    }
}

fn read_scheme(row: &Row<'_, '_>, units: Units) -> Option<Scheme> {
    let by = row.word("measure", MEASURE);
    let area = match by {
        Some(By::Shelf { .. }) if row.find("shelf_area").is_none() => {
            row.fault(
                "shelf_area",
                "no shelf is chosen".to_owned(),
                "Choose the shelf that the price is for",
            );
            None
        }
        Some(By::Shelf { .. }) => row.number_in("shelf_area", 1e-4, 9.0).map(Area::m2),
        _ => Some(Area::ZERO),
    };
    let measured = row.word("measured", MEASURED);
    let [bisque, glaze] = ["bisque", "glaze"].map(|k| row.number_in(k, 0.0, MOST));
    let [each, stilted, least] =
        ["each", "stilted", "least"].map(|k| money(row, k).map(|m| m.unwrap_or(Money::cents(0))));
    let low = match row.find("low_counts_as") {
        Some(_) => row.length("low_counts_as", units, from_zero(3.0)).map(Some),
        None => Some(None),
    };
    let supports_counted = row.flag("supports_counted");
    let kilns = each_hire(row);
    let area = area?;
    Some(Scheme {
        by: match by? {
            By::Shelf { .. } => By::Shelf { area },
            other => other,
        },
        measured: measured?,
        price: ByKind {
            bisque: bisque?,
            glaze: glaze?,
        },
        each: each?,
        stilted: stilted?,
        least: least?,
        low_counts_as: low?.filter(|l| *l > Length::ZERO),
        supports_counted: supports_counted?,
        kilns: kilns?,
    })
}

/// An amount, nothing when it is not written.
fn money(row: &Row<'_, '_>, key: &str) -> Option<Option<Money>> {
    match row.find(key) {
        Some(_) => row.number_in(key, 0.0, MOST).map(|u| Some(Money::units(u))),
        None => Some(None),
    }
}

fn each_hire(row: &Row<'_, '_>) -> Option<Vec<Hire>> {
    each(row.inners("kilns", "Write what a kiln costs"), |row| {
        let kiln = row.text("kiln");
        let part = |bisque: &str, glaze: &str| {
            let (a, b) = (money(row, bisque), money(row, glaze));
            Some((a?, b?))
        };
        let whole = part("whole_bisque", "whole_glaze");
        let half = part("half_bisque", "half_glaze");
        let or_nothing = |m: Option<Money>| m.unwrap_or(Money::cents(0));
        let kind = |(a, b)| ByKind {
            bisque: or_nothing(a),
            glaze: or_nothing(b),
        };
        let half = match half? {
            (None, None) => None,
            some => Some(kind(some)),
        };
        Some(Hire {
            kiln: kiln?,
            whole: kind(whole?),
            half,
        })
    })
}

/// The record of a form with the tables and lists that settings have.
fn gather(fields: &Fields) -> (Record, BTreeMap<String, Vec<usize>>) {
    let mut tables: BTreeMap<&str, Record> = ["energy", "hours", "scheme", "rules", "ways"]
        .map(|t| (t, Record::default()))
        .into();
    let mut lists: BTreeMap<(&str, &str), BTreeMap<usize, Record>> =
        [("energy", "times"), ("scheme", "kilns")]
            .map(|l| (l, BTreeMap::new()))
            .into();
    let mut own = Record::default();
    for (name, text) in fields.iter().filter(|f| !f.1.trim().is_empty()) {
        let text = text.trim();
        let parts: Vec<&str> = name.splitn(4, '.').collect();
        match parts[..] {
            [table, list, at, key] if lists.contains_key(&(table, list)) => {
                if let (Some(rows), Ok(at)) = (lists.get_mut(&(table, list)), at.parse()) {
                    put(rows.entry(at).or_default(), key, text);
                }
            }
            [table, key] => match tables.get_mut(table) {
                Some(record) => put(record, key, text),
                None => own.text(name, text),
            },
            _ => own.text(name, text),
        }
    }
    let mut numbers = BTreeMap::new();
    for ((table, list), rows) in lists {
        numbers.insert(list.to_owned(), rows.keys().copied().collect());
        if let Some(record) = tables.get_mut(table) {
            record.put(list, Value::List(rows.into_values().collect()));
        }
    }
    for (name, record) in tables {
        own.put(name, Value::Table(record));
    }
    (own, numbers)
}

fn put(record: &mut Record, key: &str, text: &str) {
    match key {
        "days" | "closed" => {
            let parts = text.split([' ', ',', ';', '\n', '\r']);
            let words = parts.filter(|w| !w.is_empty()).map(str::to_owned);
            record.put(key, Value::Words(words.collect()));
        }
        _ => record.text(key, text),
    }
}
