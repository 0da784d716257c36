//! A studio back into the texts of its folder.

use jiff::civil::Time;

use super::Texts;
use super::fields::{self, Record, quoted, toml_key};
use super::hours::DAYS;
use super::pen::{self, Pen};
use super::sheet::COLUMNS;
use crate::hours::Hours;
use crate::piece::Piece;
use crate::shown::Shown;
use crate::studio::Studio;
use crate::tariff::Tariff;

/// Writes a studio, in its own units.
///
/// What [`super::read`] gave is read back as it was, every number bit for bit: see the shortest
/// decimals of `pen`. Remarks that stood in the files are not part of a studio and are gone.
pub fn write(studio: &Studio) -> Texts {
    let pen = Pen(studio.shown);
    let furniture = &studio.furniture;
    let stock = format!(
        "post_section = {}\n\n{}{}{}",
        pen.length(furniture.post_section),
        rows(
            "shelf",
            furniture.shelves.iter().map(|s| fields::shelf(s, pen))
        ),
        rows("post", furniture.posts.iter().map(|p| fields::post(p, pen))),
        rows(
            "support",
            furniture.supports.iter().map(|s| fields::support(s, pen))
        ),
    );
    Texts {
        studio: head(studio),
        clays: rows("clay", studio.clays.iter().map(fields::clay)),
        glazes: rows("glaze", studio.glazes.iter().map(fields::glaze)),
        furniture: stock,
        kilns: rows("kiln", studio.kilns.iter().map(|k| fields::kiln(k, pen))),
        pieces: pieces_csv(&studio.pieces, studio.shown),
    }
}

/// The sheet `pieces.csv` with these pieces, in the studio's units.
pub fn pieces_csv(pieces: &[Piece], shown: Shown) -> String {
    let mut out = COLUMNS.join(",") + "\n";
    for piece in pieces {
        let cells = fields::piece(piece, Pen(shown));
        out += &cells.each_ref().map(|c| cell(c)).join(",");
        out.push('\n');
    }
    out
}

/// A cell, in quotes where it needs them (RFC 4180).
fn cell(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

fn rows(key: &str, records: impl Iterator<Item = Record>) -> String {
    let rows: Vec<String> = records
        .map(|record| format!("[[{key}]]\n{}", record.toml()))
        .collect();
    rows.join("\n") + "\n"
}

fn head(studio: &Studio) -> String {
    let Shown {
        fahrenheit,
        inches,
        pounds,
    } = studio.shown;
    let mut out = format!(
        "name = {}\n\n[units]\nlength = \"{}\"\nmass = \"{}\"\ntemperature = \"{}\"\n",
        quoted(&studio.name),
        if inches { "in" } else { "mm" },
        if pounds { "lb" } else { "kg" },
        if fahrenheit { "F" } else { "C" },
    );
    energy(&mut out, &studio.tariff);
    if studio.hours != Hours::default() {
        hours(&mut out, &studio.hours);
    }
    if !studio.rule_overrides.is_empty() {
        out += "\n[rules]\n";
        for (id, value) in &studio.rule_overrides {
            line(&mut out, &toml_key(id), &quoted(value));
        }
    }
    out
}

fn line(out: &mut String, key: &str, value: &str) {
    *out += &format!("{key} = {value}\n");
}

fn energy(out: &mut String, tariff: &Tariff) {
    *out += "\n[energy]\n";
    line(out, "currency", &quoted(&tariff.currency));
    line(out, "price_per_kwh", &pen::plain(tariff.per_kwh));
    if tariff.per_kw.to_bits() != 0 {
        line(out, "price_per_kw", &pen::plain(tariff.per_kw));
    }
    for time in &tariff.times {
        *out += "\n[[energy.times]]\n";
        line(out, "hours", &span(time.from, time.to));
        if time.days != [true; 7] {
            let days = DAYS.iter().zip(time.days).filter(|(_, on)| *on);
            let days: Vec<String> = days.map(|(day, _)| quoted(day)).collect();
            line(out, "days", &format!("[{}]", days.join(", ")));
        }
        line(out, "price_per_kwh", &pen::plain(time.per_kwh));
    }
}

fn span(from: Time, to: Time) -> String {
    let time = |t: Time| format!("{:02}:{:02}", t.hour(), t.minute());
    quoted(&format!("{}-{}", time(from), time(to)))
}

fn hours(out: &mut String, hours: &Hours) {
    let usual = Hours::default();
    *out += "\n[hours]\n";
    if let Some(zone) = &hours.time_zone {
        line(out, "time_zone", &quoted(zone));
    }
    for (day, shift) in DAYS.iter().zip(&hours.week) {
        if let Some(shift) = shift {
            line(out, day, &span(shift.from, shift.to));
        }
    }
    if !hours.closed.is_empty() {
        let days: Vec<String> = hours
            .closed
            .iter()
            .map(|d| quoted(&d.to_string()))
            .collect();
        line(out, "closed", &format!("[{}]", days.join(", ")));
    }
    if hours.loading != usual.loading {
        line(out, "loading_hours", &pen::hours(hours.loading));
    }
    if hours.unloading != usual.unloading {
        line(out, "unloading_hours", &pen::hours(hours.unloading));
    }
    if hours.delayed_start {
        line(out, "delayed_start", "true");
    }
}
