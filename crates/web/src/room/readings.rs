//! Readings of a firing, and the stretches of them that are not to be believed.

use axum::response::Response;
use glost_model::book::{Act, BadStretch, Firing, Unsound};
use glost_model::fault::Fault;
use glost_studio::desk::DeskError;
use glost_studio::desk::stretches::NewStretch;
use jiff::Timestamp;
use jiff::civil::DateTime;
use maud::{Markup, html};

use super::curves;
use super::firing::title;
use crate::app::fields::{Fields, Look, hidden};
use crate::app::{Form, Here, Path, Trouble, Typed, Visit, escaped};

type Sent = Form<Vec<(String, String)>>;

fn at(firing: &str) -> String {
    format!("/firings/{}/readings", escaped(firing))
}

/// The page.
pub async fn show(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let firing = v.app.desk.firing(&id).await?.body;
    let body = page(&v, &firing, &beginning(&v, &firing), &[]).await?;
    Ok(v.page(Here::Firings, &heading(&firing), &body))
}

fn heading(firing: &Firing) -> String {
    format!("Readings of firing {}", firing.id)
}

/// The day of the firing stands in the fields: who looks at its curve knows the hour.
fn beginning(v: &Visit, firing: &Firing) -> Typed {
    let mut typed = Typed::default();
    if let Some(start) = firing.started {
        let day = v.local(start).strftime("%Y-%m-%dT%H:%M").to_string();
        typed.set("from", day.clone());
        typed.set("to", day);
    }
    typed
}

async fn page(
    v: &Visit,
    firing: &Firing,
    typed: &Typed,
    faults: &[Fault],
) -> Result<Markup, DeskError> {
    let desk = &v.app.desk;
    let marked = desk.stretches(v.actor(), &firing.id).await?;
    let kept = desk.samples_kept(&firing.id).await?;
    let kiln = desk.kiln_of(&firing.kiln).await?;
    let names = desk.names().await?;
    let at = at(&firing.id);
    let f = Fields { typed, faults };
    Ok(html! {
        (f.summary())
        p { (title(firing)) ". " @match &kept {
            Some(span) => { (span.rows) " readings from " (v.when(span.from)) " to " (v.when(span.to)) "." },
            None => "There is no reading of it.",
        } }
        (curves::one(v, firing, None).await?)
        h2 { "Not to be believed" }
        p { "Readings that are marked stay in the log and on the curve. They are left out of what the kiln learns, of the heat-work that is worked out from the log, and of what is foreseen while it fires." }
        @if marked.is_empty() { p.empty { "No reading is marked." } }
        @else { ul.rows { @for (i, k) in marked.iter().enumerate() { li {
            strong { (i + 1) ". " (told(v, &k.body)) }
            span.small { "Marked by " (names.get(&k.body.who).map_or(k.body.who.as_str(), String::as_str)) ", " (v.when(k.body.at)) }
            @if v.may(Act::Keep) { form method="post" action={ (at) "/" (k.body.id) "/believe" } {
                (hidden("version", &k.version.to_string()))
                button type="submit" aria-label={ "Believe again: " (told(v, &k.body)) } { "Believe them again" }
            } }
        } } } }
        @if v.may(Act::Keep) && kept.is_some() {
            h2 { "Mark readings" }
            form method="post" action=(at) {
                (f.text("from", "From", Look { kind: "datetime-local", hint: "The first minute that is not to be believed", ..Look::default() }))
                (f.text("to", "To", Look { kind: "datetime-local", hint: "The last one", ..Look::default() }))
                (f.choice("unsound", "Because", &Unsound::ALL.map(|u| (u.key(), u.words()))))
                (f.text("words", "In words", Look { optional: true, ..Look::default() }))
                div.steps { button.main type="submit" { "These readings are not to be believed" } }
            }
        }
        p.steps {
            a.step href={ "/firings/" (escaped(&firing.id)) } { "To the firing" }
            @if let Some(kiln) = kiln { a.step href={ "/kilns/" (escaped(&kiln)) "/learnt" } { "What its kiln taught" } }
        }
    })
}

/// From when to when, and why.
pub fn told(v: &Visit, s: &BadStretch) -> String {
    let (from, to) = (v.local(s.from), v.local(s.to));
    let to = if from.date() == to.date() {
        to.strftime("%H:%M").to_string()
    } else {
        v.when(s.to)
    };
    format!("{} to {to}: {}", v.when(s.from), s.because())
}

/// What of a log is left out, below what is worked out from it.
///
/// # Errors
/// Of the store.
pub async fn left_out(v: &Visit, firing: &str) -> Result<Markup, DeskError> {
    let marked = v.app.desk.bad_stretches(firing).await?;
    Ok(html! { @if !marked.is_empty() {
        p { "Readings that are marked as not to be believed, and left out of what is worked out from the log:" }
        ol { @for s in &marked { li { (told(v, s)) } } }
    } })
}

/// Marks a stretch.
pub async fn mark(v: Visit, Path(id): Path<String>, Form(sent): Sent) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let typed = Typed(sent);
    let new = NewStretch {
        from: moment(&v, typed.get("from")),
        to: moment(&v, typed.get("to")),
        why: Unsound::of_key(typed.get("unsound")),
        words: typed.get("words").to_owned(),
    };
    match v.app.desk.mark_stretch(v.actor(), &id, &new).await {
        Ok(turn) => Ok(v.done(&at(&id), turn)),
        Err(DeskError::Faults(faults)) => {
            let firing = v.app.desk.firing(&id).await?.body;
            let body = page(&v, &firing, &typed, &faults).await?;
            Ok(v.again(Here::Firings, &heading(&firing), &body))
        }
        Err(e) => Err(e.into()),
    }
}

/// A minute on the studio's clock.
fn moment(v: &Visit, text: &str) -> Option<Timestamp> {
    let at: DateTime = text.trim().parse().ok()?;
    let zoned = at.to_zoned_datetime(v.zone.clone()).ok()?;
    Some(zoned.timestamp())
}

/// Believes a stretch again.
pub async fn believe(
    v: Visit,
    Path((id, stretch)): Path<(String, String)>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let version = Typed(sent).version();
    let desk = &v.app.desk;
    let turn = desk
        .believe_again(v.actor(), &id, &stretch, version)
        .await?;
    Ok(v.done(&at(&id), turn))
}
