//! Who did what, found by person, thing and day; and one turn, with what each thing was before and is after.

use axum::response::Response;
use glost_model::book::{Act, Person};
use glost_store::{Look as Listed, TurnLook};
use glost_studio::desk::DeskError;
use glost_studio::desk::audit::{Done, How, TOLD, Touched};
use jiff::ToSpan;
use jiff::civil::Date;
use maud::{Markup, html};

use super::lists::{changes, filled};
use super::ware::pages;
use crate::app::fields::{Fields, Look, hidden, options};
use crate::app::{Here, Path, Query, Trouble, Typed, Visit, called, escaped};

/// Turns on one page.
const PAGE: u32 = 25;
const FIELDS: [&str; 4] = ["who", "words", "from", "to"];

/// The page.
pub async fn show(v: Visit, Query(q): Query<Vec<(String, String)>>) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let q = Typed(q);
    let text = |name: &str| Some(q.get(name).trim()).filter(|t| !t.is_empty());
    let mut faults = Vec::new();
    let mut start_of = |name: &str, later: i64| {
        let day: Date = match text(name)?.parse() {
            Ok(day) => day,
            Err(_) => {
                if let DeskError::Faults(all) =
                    DeskError::field(name, "this is no day", "Write it as 2026-11-26")
                {
                    faults.extend(all);
                }
                return None;
            }
        };
        let day = day.checked_add(later.days()).ok()?;
        let start = v.zone.to_ambiguous_timestamp(day.at(0, 0, 0, 0));
        start.compatible().ok()
    };
    let (from, until) = (start_of("from", 0), start_of("to", 1));
    let look = TurnLook {
        who: text("who"),
        words: text("words"),
        from,
        until,
        before: q.get("before").parse().ok(),
        most: PAGE,
    };
    let all = v
        .app
        .desk
        .audit(v.actor(), &look, v.shown(), &v.zone)
        .await?;
    let people = v
        .app
        .desk
        .store
        .list::<Person>(&Listed {
            archived: true,
            ..Listed::default()
        })
        .await
        .map_err(DeskError::from)?;
    let mut who = options([("", "anybody")]);
    who.extend(
        people
            .iter()
            .map(|p| (p.body.id.clone(), p.body.name.clone())),
    );
    let names = v.app.desk.names().await?;
    let searched = FIELDS.iter().any(|n| text(n).is_some());
    let mut older = "/studio/log?".to_owned();
    for name in FIELDS {
        if let Some(t) = text(name) {
            older.push_str(&format!("{name}={}&", escaped(t)));
        }
    }
    let here = v.path.clone();
    let f = Fields {
        typed: &q,
        faults: &faults,
    };
    let body = html! {
        (f.summary())
        details.search open[searched] { summary { "Search" }
            form method="get" action="/studio/log" role="search" {
                (f.select("who", "Who", "", &who))
                (f.text("words", "What", Look { hint: "A code, a number, a name, or a word as kiln, clay, price", optional: true, kind: "search", ..Look::default() }))
                (f.text("from", "From", Look { kind: "date", optional: true, ..Look::default() }))
                (f.text("to", "To", Look { kind: "date", optional: true, ..Look::default() }))
                div.steps { button.main type="submit" { "Search" } a.step href="/studio/log" { "Everything" } }
            }
        }
        @if all.is_empty() { p.empty role="status" { "Nothing like that was done." } }
        ul.rows.audit { @for done in &all { (one(&v, done, names.get(&done.turn.who), &here)) } }
        @if let Some(last) = all.last().filter(|_| all.len() == PAGE as usize) {
            p.steps { a.step href={ (older) "before=" (last.turn.id) } { "Earlier" } }
        }
    };
    if faults.is_empty() {
        Ok(v.page(Here::Studio, "Who did what", &body))
    } else {
        Ok(v.again(Here::Studio, "Who did what", &body))
    }
}

fn one(v: &Visit, done: &Done, name: Option<&String>, here: &str) -> Markup {
    let t = &done.turn;
    html! { li {
        div.turn {
            p { strong { (t.verb) } (by(v, done, name)) }
            (undo(done, here))
        }
        @if !done.things.is_empty() { p { a.step href={ "/studio/log/" (t.id) } { (count(done)) } } }
    } }
}

/// Who did it, when, and whether it still stands.
fn by(v: &Visit, done: &Done, name: Option<&String>) -> Markup {
    let t = &done.turn;
    // What no person did has the program's name.
    let name = name.map_or_else(|| called::sentence(&t.who), Clone::clone);
    html! { span.small { (name) ", " (v.when(t.at)) @if t.undone_by.is_some() { " · taken back" } } }
}

fn undo(done: &Done, here: &str) -> Markup {
    html! { @if done.undoable {
        form method="post" action={ "/undo/" (done.turn.id) } {
            (hidden("to", here))
            button type="submit" aria-label={ "Undo: " (done.turn.verb) } { "Undo" }
        }
    } }
}

/// One turn: each thing that it changed, field by field.
pub async fn one_turn(
    v: Visit,
    Path(turn): Path<String>,
    Query(q): Query<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let turn: i64 = turn.parse().map_err(|_e| Trouble::Missing)?;
    let page: u32 = Typed(q).get("page").parse().unwrap_or(1).clamp(1, 10_000);
    let desk = &v.app.desk;
    let skip = (page - 1) * TOLD;
    let found = desk
        .audit_one(v.actor(), turn, skip, v.shown(), &v.zone)
        .await?;
    let Some(done) = found else {
        return Err(Trouble::Missing);
    };
    let names = desk.names().await?;
    let t = &done.turn;
    let body = html! {
        div.turn { p { (by(&v, &done, names.get(&t.who))) } (undo(&done, &v.path)) }
        @if !done.undoable && t.undone_by.is_none() && done.count > 0 {
            p.hint { "It cannot be taken back any more: something of it was changed since." }
        }
        @if let Some(other) = t.undoes { p { "It took something back: " a href={ "/studio/log/" (other) } { "what that was" } "." } }
        @if let Some(other) = t.undone_by { p { a href={ "/studio/log/" (other) } { "How it was taken back" } "." } }
        @if done.count == 0 { p.empty { "It changed nothing that is told field by field." } }
        div.audit { @for thing in &done.things { (touched(thing)) } }
        (pages(page, done.count, TOLD, &|page| format!("/studio/log/{turn}?page={page}")))
        p.steps { a.step href="/studio/log" { "Everything that was done" } }
    };
    Ok(v.page(Here::Studio, &called::sentence(&t.verb), &body))
}

fn count(done: &Done) -> String {
    let things: Vec<String> = done
        .things
        .iter()
        .map(|t| {
            format!("{} {}", called::thing(&t.kind), t.name)
                .trim()
                .to_owned()
        })
        .collect();
    let more = done.count.saturating_sub(things.len() as u64);
    if more > 0 {
        format!("{} and {more} more", things.join(", "))
    } else {
        things.join(", ")
    }
}

fn touched(thing: &Touched) -> Markup {
    let how = match thing.how {
        How::New => "came into the book",
        How::Changed => "was changed",
        How::PutAway => "was put away",
        How::BroughtBack => "was brought back",
    };
    let name = format!("{} {}", called::thing(&thing.kind), thing.name);
    html! {
        h3 { @match path(thing) { Some(to) => a href=(to) { (name) }, None => (name) } " " (how) }
        @if !thing.fields.is_empty() {
            @if thing.how == How::New { (filled(&thing.fields)) } @else { (changes(&thing.fields)) }
        } @else if thing.how == How::Changed { p { "Nothing that is shown here differs." } }
    }
}

/// The page of a thing, if it has one.
fn path(thing: &Touched) -> Option<String> {
    let id = escaped(&thing.id);
    Some(match thing.kind.as_str() {
        "ware" => format!("/ware/{id}"),
        "firing" => format!("/firings/{id}"),
        "kiln" => format!("/kilns/{id}"),
        "clay" => format!("/clays/{id}"),
        "glaze" => format!("/glazes/{id}"),
        "shelf" => format!("/furniture/shelves/{id}"),
        "post" => format!("/furniture/posts/{id}"),
        "support" => format!("/furniture/supports/{id}"),
        "person" => format!("/studio/people/{id}"),
        "settings" => "/studio".to_owned(),
        "lessons" | "learning" => format!("/kilns/{id}/learnt"),
        "loss" => "/furniture/losses".to_owned(),
        _ => return None,
    })
}
