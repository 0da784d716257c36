//! One piece.

use axum::response::Response;
use glost_model::book::{Act, Person, State, Ware};
use glost_model::fault::Fault;
use glost_model::piece::Stage;
use glost_model::text;
use glost_rules::Level;
use glost_rules::cause::caution;
use glost_store::Kept;
use glost_studio::desk::DeskError;
use glost_studio::desk::verdict::{Answer, verdict};
use maud::{Markup, html};

use super::take_in::{piece, piece_fields, spread_glazes};
use crate::app::called::{self, sentence};
use crate::app::fields::{Fields, hidden};
use crate::app::{Form, Here, Path, Query, Side, Trouble, Typed, Visit, clash, escaped};

/// The page.
pub async fn show(
    v: Visit,
    Path(code): Path<String>,
    Query(q): Query<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let kept = v.app.desk.ware(v.person(), &code).await?;
    let none = Typed::default();
    let fields = Fields {
        typed: &none,
        faults: &[],
    };
    let body = page(&v, &kept, Typed(q).on("new"), fields).await?;
    Ok(v.page(Here::Ware, &title(&kept.body), &body))
}

fn title(w: &Ware) -> String {
    format!("{} {}, {}", w.piece.id, w.piece.what, w.piece.maker)
}

async fn page(
    v: &Visit,
    kept: &Kept<Ware>,
    new: bool,
    fields: Fields<'_>,
) -> Result<Markup, DeskError> {
    let w = &kept.body;
    let p = &w.piece;
    let shown = v.shown();
    let at = format!("/ware/{}", escaped(&p.id));
    let desk = &v.app.desk;
    let photos = desk.store.photos("ware", &p.id).await?;
    let own = v.person().id == w.owner;
    let editable = (own && matches!(w.state, State::Made | State::Drying))
        || (v.may(Act::LookOver) && !matches!(w.state, State::Planned | State::InKiln));
    let owner = desk.store.find::<Person>(&w.owner).await?;
    let expected = match w.state {
        State::Waiting | State::Planned | State::InKiln => {
            desk.expected_back(&p.id, v.now, v.today(), &v.zone).await?
        }
        _ => None,
    };
    Ok(html! {
        @if new { div.panel.big-code role="status" { p { "Write this code on the slip:" } p.code { (p.id) } } }
        @else { p.big-code { span.code { (p.id) } } }
        p.lead { strong { (sentence(w.state.words())) } @if w.state.here() { " since " } @else { " on " } (v.when(w.since))
            @if let Some(f) = w.firing.as_ref().filter(|_| w.state != State::Waiting) { ", firing " (firing(v, f, f)) }
            @if let Some(by) = w.fetch_by.filter(|_| w.state.here()) { ". To be fetched by " (by.strftime("%a %-d %b %Y")) } "." }
        @if !w.note.is_empty() { p.note { (w.note) } }
        @if let Some(e) = &expected { p { "Back with its maker: " @if let Some((from, to)) = e.band { strong { (from.strftime("%-d %b")) @if to != from { " to " (to.strftime("%-d %b %Y")) } } ". " } (sentence(&e.words)) "." } }
        (fit(v, w))
        @if matches!(w.state, State::Made | State::Drying) && v.may(Act::LookOver) && verdict(&v.given, &w.piece).answer != Answer::No {
            form method="post" action={ (at) "/move" } {
                (hidden("version", &kept.version.to_string()))
                button.main type="submit" name="to" value=(State::Waiting.key()) { "Looked over: it may be fired" }
            }
        }
        table.facts { tbody {
            tr { th scope="row" { "Maker" } td { (p.maker) @if let Some(o) = &owner { @if !o.body.mark.is_empty() { ", mark " (o.body.mark) } } } }
            tr { th scope="row" { "Clay" } td { (p.clay) } }
            tr { th scope="row" { "Glazes" } td { @if p.glazes.is_empty() { "none" } @else { (p.glazes.join(", ")) } } }
            tr { th scope="row" { "Cone asked" } td { @match p.asked_cone { Some(c) => { "cone " (c) " (" (c.range_name()) ")" } None => "what suits it" } } }
            @for (name, value) in text::piece_fields(p, shown) {
                @if FACTS.contains(&name.as_str()) && !value.is_empty() { tr { th scope="row" { (called::field(&name)) } td { @if name == "stage" && bisqued(w) { "bisque" } @else { (called::value(&name, &value)) } @if name == "priority" { " of 5" } @if unit(&name) { " " (shown.length_unit()) } @if name == "mass" { @if shown.pounds { " lb" } @else { " kg" } } } } }
            }
        } }
        @if !w.stood.is_empty() { h2 { "Firings" } ul { @for s in &w.stood { li { (firing(v, &s.firing, &format!("Firing {}", s.firing))) ", tier " (s.tier) } } } }
        @if !w.faults.is_empty() { h2 { "Seen after firing" } ul { @for f in &w.faults { li { strong { (f.kind.look()) } @if !f.words.is_empty() { ": " (f.words) } @if f.spoilt { ". Spoilt" } " (" (v.when(f.at)) ")" @if let Some(of) = &f.firing { ". " a href={ "/firings/" (escaped(of)) "/causes/" (escaped(&p.id)) } { "Why?" } } } } } (cautions(w)) }
        h2 { "Photos" }
        @if photos.is_empty() { p.empty { "No photo yet." } }
        div.photos { @for ph in &photos { a href={ "/photo/" (ph.id) } { img src={ "/photo/" (ph.id) "?small=yes" } alt={ "Photo of " (p.id) ", " (v.when(ph.made)) } loading="lazy"; } } }
        form.photo method="post" action={ (at) "/photo" } enctype="multipart/form-data" {
            label for="photo" { "Add a photo" }
            input #photo type="file" name="photo" accept="image/jpeg,image/png,image/webp" capture="environment";
            button type="submit" { "Keep it" }
        }
        p.steps {
            @if editable { a.step href={ (at) "/change" } { "Change" } }
            a.step href={ "/ware/new?like=" (escaped(&p.id)) } { "Hand in one like it" }
            @if v.may(Act::LookOver) { a.step href={ "/ware/labels?code=" (escaped(&p.id)) } { "Label" } }
        }
        (ways(v, kept, &at, fields))
        details { summary { "What was done to it" } (history(v, &p.id).await?) }
    })
}

/// Where it can go from here.
fn ways(v: &Visit, kept: &Kept<Ware>, at: &str, f: Fields<'_>) -> Markup {
    let w = &kept.body;
    let own = v.person().id == w.owner;
    let may = |to: State| match to {
        State::HandedBack | State::Abandoned => {
            v.may(Act::HandBack) || (own && to == State::HandedBack)
        }
        State::Made => own || v.may(Act::LookOver),
        _ => v.may(Act::LookOver),
    };
    let next: Vec<State> = w.state.next().iter().copied().filter(|s| may(*s)).collect();
    let spoilt = w.faults.iter().any(|x| x.spoilt);
    let glazed = !spoilt
        && (w.state == State::Bisqued
            || (w.state == State::HandedBack && w.piece.stage == Stage::Greenware));
    let reason = |s: &State| matches!(s, State::NeedsAttention | State::Refused | State::Accident);
    html! {
        @if glazed && (own || v.may(Act::LookOver)) {
            form method="post" action={ (at) "/glazed" } {
                (hidden("version", &kept.version.to_string()))
                p { "Once it is glazed, hand it in again: its code stays." }
                button.main type="submit" { "It is glazed now" }
            }
        }
        @if !next.is_empty() {
            h2 { "Move it on" }
            form.ways method="post" action={ (at) "/move" } {
                (hidden("version", &kept.version.to_string()))
                @if next.iter().any(reason) { (f.lines("note", "Reason, for its maker to read", "Needed when it needs attention, is refused or came to harm")) }
                div.steps { @for s in next { button type="submit" name="to" value=(s.key()) { (step(v, own, s)) } } }
            }
        }
    }
}

/// What a way on is called on its button; its maker does it with their own hands.
fn step(v: &Visit, own: bool, to: State) -> String {
    match to {
        State::HandedBack if own && !v.may(Act::HandBack) => "I have taken it home".to_owned(),
        State::Made => "Hand it in again".to_owned(),
        to => sentence(to.words()),
    }
}

/// A firing, with the way to it for those who may go there.
fn firing(v: &Visit, id: &str, words: &str) -> Markup {
    html! { @if v.may(Act::Plan) { a href={ "/firings/" (escaped(id)) } { (words) } } @else { (words) } }
}

/// What is written down of it tells of before its first firing; that is over.
fn bisqued(w: &Ware) -> bool {
    let out = !matches!(w.state, State::Planned | State::InKiln);
    w.piece.stage == Stage::Greenware && !w.stood.is_empty() && out
}

/// What must be minded of the faults that it has.
pub fn cautions(w: &Ware) -> Markup {
    let mut all: Vec<&str> = w.faults.iter().filter_map(|f| caution(f.kind)).collect();
    all.sort_unstable();
    all.dedup();
    html! { @if !all.is_empty() { ul.caution { @for words in all { li { strong { "Mind: " } (words) } } } } }
}

/// The verdict with its reasons.
fn fit(v: &Visit, w: &Ware) -> Markup {
    if !matches!(
        w.state,
        State::Made
            | State::Drying
            | State::Waiting
            | State::NeedsAttention
            | State::Refused
            | State::Planned
    ) {
        return html! {};
    }
    let verdict = verdict(&v.given, &w.piece);
    let class = match verdict.answer {
        Answer::Yes => "yes",
        Answer::YesWith => "with",
        Answer::No => "no",
    };
    html! {
        section class={ "verdict " (class) } {
            h2 { (verdict.words()) @if let Some(c) = verdict.cone { " at cone " (c) " (" (c.range_name()) ")" } }
            @if verdict.findings.is_empty() { p { "Nothing stands against it." } }
            ul { @for f in &verdict.findings { li {
                strong { @match f.level { Level::Block => "No: ", Level::Require => "Needs: ", Level::Warn => "Mind: " } }
                (sentence(&f.why)) ". " (sentence(&f.remedy)) "."
            } } }
        }
    }
}

async fn history(v: &Visit, code: &str) -> Result<Markup, DeskError> {
    let all = v.app.desk.store.history("ware", code).await?;
    let people = v.app.desk.names().await?;
    Ok(html! { ol.history { @for c in &all { li {
        (v.when(c.turn.at)) ", " (people.get(&c.turn.who).map_or(c.turn.who.as_str(), String::as_str)) ": " (c.turn.verb)
    } } } })
}

/// Facts that the table tells besides those with a line of their own.
const FACTS: [&str; 16] = [
    "shape",
    "size",
    "foot_size",
    "height",
    "wall",
    "mass",
    "foot",
    "glaze_margin",
    "dryness",
    "stage",
    "due",
    "came_in",
    "priority",
    "group",
    "delicacy",
    "held",
];

fn unit(name: &str) -> bool {
    matches!(
        name,
        "size" | "foot_size" | "height" | "wall" | "glaze_margin"
    )
}

/// The form to change it.
pub async fn edit(v: Visit, Path(code): Path<String>) -> Result<Response, Trouble> {
    let kept = v.app.desk.ware(v.person(), &code).await?;
    let mut typed = written(&v, &kept.body);
    typed.set("version", kept.version.to_string());
    Ok(v.page(
        Here::Ware,
        &format!("Change {code}"),
        &edit_form(&v, &code, &typed, &[]),
    ))
}

/// A piece as the form has it.
fn written(v: &Visit, w: &Ware) -> Typed {
    let mut typed = Typed(text::piece_fields(&w.piece, v.shown()));
    let asked = |name: &str| match name {
        "id" | "maker" => false,
        "held" => v.may(Act::LookOver),
        _ => true,
    };
    typed.0.retain(|f| asked(&f.0));
    spread_glazes(&mut typed);
    typed.set("note", w.note.clone());
    typed
}

fn edit_form(v: &Visit, code: &str, typed: &Typed, faults: &[Fault]) -> Markup {
    let f = Fields { typed, faults };
    html! {
        (f.summary())
        form.piece method="post" action={ "/ware/" (escaped(code)) "/change" } {
            (hidden("version", typed.get("version")))
            (hidden("came_in", typed.get("came_in")))
            (piece(v, f))
            (f.lines("note", "Anything to know?", ""))
            div.steps { button.main type="submit" { "Store" } a.step href={ "/ware/" (escaped(code)) } { "Leave as it was" } }
        }
    }
}

/// Changes it.
pub async fn change(
    v: Visit,
    Path(code): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let typed = Typed(sent);
    let mut fields = piece_fields(&typed);
    fields.retain(|f| f.0 != "id" && f.0 != "maker");
    match v
        .app
        .desk
        .change_ware(
            v.actor(),
            &code,
            typed.version(),
            &fields,
            typed.get("note"),
        )
        .await
    {
        Ok(turn) => Ok(v.done(&format!("/ware/{}", escaped(&code)), turn)),
        Err(DeskError::Faults(faults)) => {
            let body = edit_form(&v, &code, &typed, &faults);
            Ok(v.again(Here::Ware, &format!("Change {code}"), &body))
        }
        Err(e) => {
            let side = |w: &Ware| Side {
                form: written(&v, w),
                besides: vec![("state", w.state.words().to_owned())],
            };
            let clash = clash(&v, e, &typed, side).await?;
            let body = edit_form(&v, &code, &clash.typed, &[]);
            Ok(v.clashed(Here::Ware, &format!("Change {code}"), &clash, &body))
        }
    }
}

/// Moves it on.
pub async fn move_on(
    v: Visit,
    Path(code): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let typed = Typed(sent);
    let to = State::of_key(typed.get("to")).ok_or_else(|| {
        DeskError::cannot("there is no such state", "Use the buttons of the page")
    })?;
    let done = v
        .app
        .desk
        .move_ware(v.actor(), &code, typed.version(), to, typed.get("note"))
        .await;
    let again = match done {
        Ok(turn) => return Ok(v.done(&format!("/ware/{}", escaped(&code)), turn)),
        Err(DeskError::Faults(faults)) => Ok(faults),
        Err(e) => Err(clash(&v, e, &typed, moved).await?),
    };
    let kept = v.app.desk.ware(v.person(), &code).await?;
    match again {
        Ok(faults) => {
            let body = page(
                &v,
                &kept,
                false,
                Fields {
                    typed: &typed,
                    faults: &faults,
                },
            )
            .await?;
            Ok(v.again(Here::Ware, &title(&kept.body), &body))
        }
        Err(clash) => {
            let body = page(
                &v,
                &kept,
                false,
                Fields {
                    typed: &clash.typed,
                    faults: &[],
                },
            )
            .await?;
            Ok(v.clashed(Here::Ware, &title(&kept.body), &clash, &body))
        }
    }
}

/// What moving a piece on may run against.
fn moved(w: &Ware) -> Side {
    Side {
        besides: vec![
            ("state", w.state.words().to_owned()),
            ("reason", w.note.clone()),
        ],
        ..Side::default()
    }
}

/// It comes back glazed, to be written down anew.
pub async fn glazed(
    v: Visit,
    Path(code): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let turn = v
        .app
        .desk
        .glazed(v.actor(), &code, Typed(sent).version())
        .await?;
    Ok(v.done(&format!("/ware/{}/change", escaped(&code)), turn))
}
