//! Upkeep of a kiln: what its parts have been through, what was read and done, what is due.

use axum::response::Response;
use glost_model::book::due::Due;
use glost_model::book::upkeep::{BandWear, REPLACE, SENSOR_LIFE, WARN, Worn};
use glost_model::book::{Act, Upkeep, Wearing};
use glost_model::fault::Fault;
use glost_model::shown::{hours, trimmed};
use glost_sheets::CAUTIONS;
use glost_studio::desk::DeskError;
use glost_studio::desk::lessons::left_words;
use glost_studio::desk::upkeep::{Care, Counter, NewUpkeep};
use jiff::Timestamp;
use jiff::civil::Date;
use maud::{Markup, html};

use crate::app::fields::{Fields, Look, hidden, options};
use crate::app::{Form, Here, Path, Trouble, Typed, Visit, escaped};
use crate::page::cautions::list;
use crate::page::wide;

/// The page.
pub async fn show(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    let care = v.app.desk.care(v.actor(), &id).await?;
    let body = page(&v, &care, &Typed::default(), &[]).await?;
    Ok(v.page(Here::Kilns, &title(&care), &body))
}

fn title(care: &Care) -> String {
    format!("Upkeep of {}", care.kiln.body.thing.name)
}

async fn page(
    v: &Visit,
    care: &Care,
    typed: &Typed,
    faults: &[Fault],
) -> Result<Markup, DeskError> {
    let names = v.app.desk.names().await?;
    let f = Fields { typed, faults };
    let at = format!("/kilns/{}", escaped(&care.kiln.body.id));
    Ok(html! {
        p.steps { a.step href=(at) { "The kiln" } }
        (f.summary())
        h2 { "What is due" }
        @if care.due.is_empty() { p.empty { "Nothing, by what is written down." } }
        @else { ul.due { @for d in &care.due { (due(d, None)) } } }
        (offer(v, care, &at))
        h2 { "What its parts have been through" }
        (counters(v, &care.counters))
        h2 { "Resistance of the elements" }
        (bands(v, &care.bands))
        @if v.may(Act::Fire) { (forms(v, care, f, &at)) }
        h2 { "What was written down" }
        @if care.entries.is_empty() { p.empty { "Nothing yet." } }
        @else { ul { @for e in &care.entries { li {
            (day(v, e.at)) ": " strong { (e.what.done()) } (value(e))
            @if !e.words.is_empty() { ". " (e.words) }
            " (" (names.get(&e.who).map_or(e.who.as_str(), String::as_str)) ")"
        } } } }
        (spares(care))
    })
}

fn day(v: &Visit, at: Timestamp) -> String {
    v.local(at).strftime("%-d %b %Y").to_string()
}

fn value(e: &Upkeep) -> String {
    match (e.band, e.value) {
        (Some(band), Some(ohm)) => format!(", ring {band}: {} Ω", trimmed(ohm, 2)),
        _ => String::new(),
    }
}

fn urgent(worn: Worn) -> &'static str {
    match worn {
        Worn::Fine => "Fine",
        Worn::Warn => "Soon",
        Worn::Replace => "Now",
    }
}

/// One thing that is due, with its kiln where there are several.
fn due(d: &Due, kiln: Option<&Care>) -> Markup {
    html! { li.now[d.worn == Worn::Replace] {
        strong { (urgent(d.worn)) ": " }
        @if let Some(c) = kiln { a href={ "/kilns/" (escaped(&c.kiln.body.id)) "/upkeep" } { (c.kiln.body.thing.name) } ": " }
        (d.words) "."
        // Where that comes from stands on the kiln's own page.
        @if kiln.is_none() { span.source { "Source: " (d.source) "." } }
    } }
}

/// What is due on all kilns; nothing for those who do not fire.
pub async fn work_list(v: &Visit) -> Result<Markup, DeskError> {
    if !v.may(Act::Plan) {
        return Ok(html! {});
    }
    let all = v.app.desk.cares(v.actor()).await?;
    let mut lines: Vec<(&Care, &Due)> = all
        .iter()
        .flat_map(|c| c.due.iter().map(move |d| (c, d)))
        .collect();
    lines.sort_by_key(|l| std::cmp::Reverse(l.1.worn));
    Ok(html! { @if !lines.is_empty() {
        h2 { "Upkeep that is due" }
        ul.due { @for (care, d) in lines { (due(d, Some(care))) } }
    } })
}

/// The ageing that the readings imply is offered, never taken by itself.
fn offer(v: &Visit, care: &Care, at: &str) -> Markup {
    let now = care.kiln.body.thing.element_ageing;
    html! { @if let Some(ageing) = care.offered {
        section.panel {
            h2 { "Ageing for planning" }
            p { "By what is written down here the elements read " strong { (format!("{ageing:.2}")) } " times what they did when new; the kiln's record says " strong { (format!("{now:.2}")) } ". Firings are foreseen with the record." }
            @if v.may(Act::Keep) {
                form method="post" action={ (at) "/ageing" } {
                    (hidden("version", &care.kiln.version.to_string()))
                    button type="submit" { "Take " (format!("{ageing:.2}")) " over" }
                }
            } @else { p { "A technician takes it over." } }
        }
    } }
}

fn counters(v: &Visit, all: &[Counter]) -> Markup {
    let hot = |c: &Counter| {
        let known = c.count.hot_known;
        match known {
            0 => "not known".to_owned(),
            n if n < c.count.firings => format!("{}, of {n} firings", hours(c.count.hot)),
            _ => hours(c.count.hot),
        }
    };
    html! {
        (wide("What its parts have been through", html! { table.rowed {
            thead { tr { th scope="col" { "Part" } th scope="col" { "Since" } th scope="col" { "Firings" } th scope="col" { "As firings to cone 04" } th scope="col" { "Above " (v.shown().example_temperature(1100.0)) } th scope="col" { "Too weak or worn" } } }
            tbody { @for c in all { tr {
                th scope="row" { (c.part.part()) }
                td data-label="Since" { @match c.since { Some(at) => (day(v, at)), None => "the book began" } }
                td data-label="Firings" { (c.count.firings) }
                td data-label="As firings to cone 04" { @if c.part == Wearing::Sensor { (format!("{:.0} of about {SENSOR_LIFE:.0}", c.count.weighed)) } @else { "–" } }
                td data-label={ "Above " (v.shown().example_temperature(1100.0)) } { (hot(c)) }
                td data-label="Too weak or worn" { @match &c.left { Some(l) => (left_words(l)), None => "not foreseen" } }
            } } }
        } }))
        p.hint { "In brackets: one in ten such parts comes to it before the first number, nine in ten before the last. Elements by the power that the kiln's own firings showed (until it no longer reaches its cone), sensors by the firings that they saw, relays by a life of 100,000 switchings, every 20 s while it heats (from memory)." }
        p.hint { "A firing to cone 6 wears a sensor like three to 04: about 50 against about 150 firings of one of 8-gauge base metal (greenbarn.com/picture/3125). Hours above " (v.shown().example_temperature(1100.0)) " are as foreseen for each firing." }
    }
}

fn bands(v: &Visit, all: &[BandWear]) -> Markup {
    if all.is_empty() {
        return html! { p.empty { "No ring was read since its elements are new." } };
    }
    let told = |b: &BandWear| match b.worn() {
        Worn::Fine => "fine",
        Worn::Warn => "look closer: have a set at hand",
        Worn::Replace => "replace",
    };
    html! {
        (wide("Resistance of the elements", html! { table.rowed {
            thead { tr { th scope="col" { "Ring" } th scope="col" { "First reading" } th scope="col" { "Last reading" } th scope="col" { "Over its first" } th scope="col" { "Means" } } }
            tbody { @for b in all { tr {
                th scope="row" { span.label { "Ring " } (b.band) }
                td data-label="First reading" { (trimmed(b.first, 2)) " Ω, " (day(v, b.first_at)) }
                td data-label="Last reading" { @if b.last_at > b.first_at { (trimmed(b.last, 2)) " Ω, " (day(v, b.last_at)) } @else { "read once" } }
                td data-label="Over its first" { (format!("{:+.1} %", (b.ratio() - 1.0) * 100.0)) }
                td data-label="Means" { (told(b)) }
            } } }
        } }))
        p.hint { "Each ring is held against its own first reading. Over " (format!("{:+.0} %", (WARN - 1.0) * 100.0)) ": power is down by 4.8 %, look closer (proposed here). Over " (format!("{:+.0} %", (REPLACE - 1.0) * 100.0)) ": power is down by 9 %, replace (neilestrickgallery.blogspot.com 2011-03). Change elements as a set; mixed ages fire unevenly (common practice, no source)." }
    }
}

/// Two forms; fields that both have bear names of their own, as ids are there once in a page.
fn forms(v: &Visit, care: &Care, f: Fields<'_>, at: &str) -> Markup {
    let to = format!("{at}/upkeep");
    let rings = care.kiln.body.thing.bands.len();
    let mut filled = f.typed.clone();
    for day in ["day", "done_on"] {
        if filled.get(day).is_empty() {
            filled.set(day, v.today().to_string());
        }
    }
    let f = Fields {
        typed: &filled,
        ..f
    };
    let wrong = !f.faults.is_empty();
    let reading = f.typed.get("what") == Wearing::Resistance.key();
    let parts = Wearing::PARTS.iter().map(|w| (w.key(), w.done()));
    let what = options(std::iter::once(("", "choose")).chain(parts));
    html! {
        details.part open[wrong && reading] { summary { h2 { "Write a reading down" } }
            (list(CAUTIONS.repair))
            form method="post" action=(to) {
                (hidden("what", Wearing::Resistance.key()))
                @for ring in 1..=rings {
                    @let hint = if ring == 1 { "Ring 1 is at the floor. Cold and isolated" } else { "" };
                    (f.text(&format!("ohm.{ring}"), &format!("Ring {ring}"), Look { unit: "Ω", keys: "decimal", optional: true, hint, ..Look::default() }))
                }
                (f.text("day", "Read on", Look { kind: "date", ..Look::default() }))
                (f.lines("words", "Anything to know?", "Which meter, how warm the room was"))
                div.steps { button.main type="submit" { "Write the reading down" } }
            }
        }
        details.part open[wrong && !reading] { summary { h2 { "Write down what was done" } }
            (list(CAUTIONS.repair))
            form method="post" action=(to) {
                (f.select("what", "What was done", "Its counter begins anew", &what))
                (f.text("done_on", "Done on", Look { kind: "date", ..Look::default() }))
                (f.lines("note", "In words", "By whom, which parts"))
                div.steps { button.main type="submit" { "Write it down" } }
            }
        }
    }
}

/// What to have at hand.
fn spares(care: &Care) -> Markup {
    let rings = care.kiln.body.thing.bands.len();
    let soon = |part: Wearing| care.due.iter().any(|d| d.part == part);
    let elements = if rings == 1 {
        "A set of elements: one ring, with its pins".to_owned()
    } else {
        format!("A set of elements: {rings} rings, with their pins")
    };
    let all = [
        (Wearing::Elements, elements.as_str()),
        (
            Wearing::Relays,
            "A set of relays, if it has ones that click: usually one to two elements (greenbarn.com/picture/3125)",
        ),
        (Wearing::Sensor, "A sensor of its kind"),
        (Wearing::Shelves, "Shelf wash, a scraper, a respirator"),
    ];
    html! {
        h2 { "Spares to have" }
        ul { @for (part, words) in all { li { (words) @if soon(part) { strong { " – soon needed" } } } } }
        p.hint { "Parts are those of the kiln's maker, by its nameplate." }
    }
}

/// A day as the moment from which an entry counts: now for today, else its beginning in the studio.
fn moment(v: &Visit, text: &str) -> Option<Timestamp> {
    let day: Date = text.trim().parse().ok()?;
    if day == v.today() {
        return Some(v.now);
    }
    let start = v.zone.to_ambiguous_timestamp(day.at(0, 0, 0, 0));
    start.compatible().ok()
}

/// Writes a reading down, or what was done.
pub async fn note(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let typed = Typed(sent);
    let what = Wearing::of_key(typed.get("what"));
    let (day, words) = if what == Some(Wearing::Resistance) {
        ("day", "words")
    } else {
        ("done_on", "note")
    };
    let readings = typed.0.iter().filter_map(|(name, text)| {
        let ring = name.strip_prefix("ohm.")?.parse().ok()?;
        Some((ring, text.clone()))
    });
    let done = match moment(&v, typed.get(day)) {
        Some(at) => {
            let new = NewUpkeep {
                what,
                readings: readings.collect(),
                at,
                words: typed.get(words).to_owned(),
            };
            v.app.desk.note_upkeep(v.actor(), &id, &new).await
        }
        None => Err(DeskError::field(
            day,
            "this is no day",
            "Write it as 2026-11-26",
        )),
    };
    match done {
        Ok(turn) => Ok(v.done(&format!("/kilns/{}/upkeep", escaped(&id)), turn)),
        Err(DeskError::Faults(mut faults)) => {
            for fault in &mut faults {
                if fault.field == "day" {
                    day.clone_into(&mut fault.field);
                }
            }
            let care = v.app.desk.care(v.actor(), &id).await?;
            let body = page(&v, &care, &typed, &faults).await?;
            Ok(v.again(Here::Kilns, &title(&care), &body))
        }
        Err(e) => Err(e.into()),
    }
}

/// Takes the ageing over into the kiln's record.
pub async fn ageing(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let turn = v
        .app
        .desk
        .take_ageing(v.actor(), &id, Typed(sent).version())
        .await?;
    Ok(v.done(&format!("/kilns/{}/upkeep", escaped(&id)), turn))
}
