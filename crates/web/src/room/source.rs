//! Where the readings of a kiln come from: by hand, a file, a broker, the controller. Set up here, and tried.

pub(super) mod forms;

use axum::response::Response;
use glost_model::Temperature;
use glost_model::book::{Act, Source, SourceKind, Stock};
use glost_model::fault::Fault;
use glost_model::kiln::Kiln;
use glost_model::readings::Sample;
use glost_store::Kept;
use glost_studio::desk::DeskError;
use glost_studio::hear::{Tried, Way, form, try_out};
use maud::{Markup, html};

use crate::app::fields::Fields;
use crate::app::{Form, Here, Path, Query, Side, Trouble, Typed, Visit, clash, escaped};
use crate::page::wide;

/// What the page has beside its form.
#[derive(Default)]
struct Beside {
    tried: Option<Result<Tried, (String, String)>>,
    doubts: Vec<String>,
}

/// The page.
pub async fn show(
    v: Visit,
    Path(id): Path<String>,
    Query(q): Query<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let (kiln, source) = of(&v, &id).await?;
    let asked = SourceKind::of_key(Typed(q).get("kind"));
    let (kind, typed) = match asked {
        Some(kind) if kind != source.body.kind => (kind, Typed::default()),
        _ => (source.body.kind, filled(&v, &source.body)?),
    };
    let body = page(&v, &kiln, &source, kind, &typed, &[], &Beside::default());
    Ok(v.page(Here::Kilns, &title(&kiln), &body))
}

async fn of(v: &Visit, id: &str) -> Result<(Kept<Stock<Kiln>>, Kept<Source>), DeskError> {
    let kiln = v.app.desk.store.get::<Stock<Kiln>>(id).await?;
    let source = v.app.desk.source(id).await?;
    Ok((kiln, source))
}

fn title(kiln: &Kept<Stock<Kiln>>) -> String {
    format!("Readings of {}", kiln.body.thing.name)
}

fn filled(v: &Visit, source: &Source) -> Result<Typed, DeskError> {
    let written = form::written(&Way::of(source)?, source.rehearsal);
    Ok(in_units(v, Typed(written)))
}

/// A form of the book with its temperature in the visitor's degrees.
pub(super) fn in_units(v: &Visit, mut typed: Typed) -> Typed {
    if !v.shown().fahrenheit {
        return typed;
    }
    if let Ok(c) = typed.get("cold").parse::<f64>() {
        let told = v.shown().degrees(Temperature::c(c));
        typed.set("cold", format!("{told:.0}"));
    }
    typed.set("cold_unit", "F");
    typed
}

fn page(
    v: &Visit,
    kiln: &Kept<Stock<Kiln>>,
    source: &Kept<Source>,
    kind: SourceKind,
    typed: &Typed,
    faults: &[Fault],
    beside: &Beside,
) -> Markup {
    let f = Fields { typed, faults };
    let kiln_at = format!("/kilns/{}", escaped(&kiln.body.id));
    let at = format!("{kiln_at}/source");
    let now = Way::of(&source.body).map_or_else(|e| e.to_string(), |w| w.words());
    html! {
        p.steps { a.step href=(kiln_at) { "The kiln" } }
        p.lead { "Now: " strong { (now) } "." }
        p { "Glost only listens: nothing here can start, stop or set a controller. A signal that stays away does not mean that the kiln is off." }
        nav aria-label="Kinds of sources" { p.steps {
            @for k in SourceKind::ALL { a.step href={ (at) "?kind=" (k.key()) } aria-current=[(k == kind).then_some("true")] { (k.words()) } }
        } }
        (f.summary())
        (outcome(v, beside))
        form method="post" action=(at) {
            (crate::app::fields::hidden("version", &source.version.to_string()))
            (crate::app::fields::hidden("kind", kind.key()))
            (forms::of(v, kind, f))
            div.steps {
                @if kind == SourceKind::Hand { button.main type="submit" name="do" value="store" { "Read it by hand" } }
                @else {
                    // Enter in a field tries, which changes nothing.
                    button type="submit" name="do" value="try" { "Try it" }
                    button.main type="submit" name="do" value="store" { "Store" }
                }
                a.step href=(kiln_at) { "Leave it" }
            }
        }
    }
}

/// What a try brought.
fn outcome(v: &Visit, beside: &Beside) -> Markup {
    html! {
        @if !beside.doubts.is_empty() { section.panel { h2 { "Look at these" } ul { @for d in &beside.doubts { li { (d) } } } } }
        @match &beside.tried {
            None => {},
            Some(Err((what, remedy))) => p.warn role="alert" { strong { "Not understood: " } (what) ". " (remedy) "." },
            Some(Ok(tried)) => section.panel role="status" {
                h2 { "The last readings, as they are understood" }
                @if tried.samples.is_empty() { p.empty { "None yet." } } @else { (samples(v, &tried.samples)) }
                @if !tried.odd.is_empty() { h3 { "What was not understood" } ul { @for (what, remedy) in &tried.odd { li { (what) ". " (remedy) "." } } } }
                p.hint { "Nothing of this is stored." }
            },
        }
    }
}

pub(super) fn samples(v: &Visit, all: &[Sample]) -> Markup {
    let shown = v.shown();
    let or = |text: Option<String>| text.unwrap_or_else(|| "–".to_owned());
    wide(
        "The last readings",
        html! { table {
            thead { tr { th scope="col" { "When" } th scope="col" { "Sensor" } th scope="col" { "Set point" } th scope="col" { "Duty" } th scope="col" { "Meter" } th scope="col" { "Others" } } }
            tbody { @for s in all { tr {
                th scope="row" { (v.local(s.at).strftime("%-d %b %Y, %H:%M:%S").to_string()) }
                td { (or(s.sensor.map(|t| shown.temperature(t)))) }
                td { (or(s.set_point.map(|t| shown.temperature(t)))) }
                td { (or(s.duty.map(|d| format!("{:.0} %", d * 100.0)))) }
                td { (or(s.meter.map(|m| format!("{:.2} kWh", m.to_kwh())))) }
                td { @for (name, t) in &s.others { (name) ": " (shown.temperature(*t)) " " } }
            } } }
        } },
    )
}

/// Tries a source, or stores it.
pub async fn change(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let (kiln, source) = of(&v, &id).await?;
    let mut typed = Typed(sent);
    let Some(kind) = SourceKind::of_key(typed.get("kind")) else {
        let e = DeskError::field("kind", "no kind of source is chosen", "Choose one");
        return Err(e.into());
    };
    let mut beside = Beside::default();
    let hear = &v.app.hear;
    let trying = typed.get("do") == "try";
    // A file of which nothing is known yet is looked at first.
    let mut faults = Vec::new();
    if kind == SourceKind::File && (typed.get("separator").is_empty() || typed.get("do") == "look")
    {
        match hear.logs().map(|logs| form::file_name(&typed.0, logs)) {
            Some(Ok(name)) => match hear.guess(&name).await {
                Ok(guess) => {
                    beside.doubts = guess.doubts.iter().map(|d| d.words.clone()).collect();
                    let (file, pace) = (name, typed.get("rehearsal").to_owned());
                    typed = in_units(&v, Typed(form::proposed(&guess.layout)));
                    typed.set("file", file);
                    typed.set("rehearsal", pace);
                }
                Err(why) => beside.tried = Some(Err(why)),
            },
            Some(Err(wrong)) => faults = wrong,
            None => {}
        }
        if faults.is_empty() && beside.tried.is_none() && hear.logs().is_some() {
            beside.tried = trial(&v, &id, kind, &typed, &mut faults).await;
        }
        if hear.logs().is_none() {
            faults = form::read(kind, &typed.0, None).err().unwrap_or_default();
        }
        let body = page(&v, &kiln, &source, kind, &typed, &faults, &beside);
        return Ok(v.page(Here::Kilns, &title(&kiln), &body));
    }
    if trying {
        beside.tried = trial(&v, &id, kind, &typed, &mut faults).await;
        let body = page(&v, &kiln, &source, kind, &typed, &faults, &beside);
        let page = if faults.is_empty() {
            v.page(Here::Kilns, &title(&kiln), &body)
        } else {
            v.again(Here::Kilns, &title(&kiln), &body)
        };
        return Ok(page);
    }
    let done = match form::read(kind, &typed.0, hear.logs()) {
        Ok((way, rehearsal)) => {
            let desk = &v.app.desk;
            desk.set_source(v.actor(), &id, typed.version(), &way, rehearsal)
                .await
        }
        Err(faults) => Err(DeskError::Faults(faults)),
    };
    match done {
        Ok(turn) => Ok(v.done(&format!("/kilns/{}/source", escaped(&id)), turn)),
        Err(DeskError::Faults(faults)) => {
            let body = page(&v, &kiln, &source, kind, &typed, &faults, &beside);
            Ok(v.again(Here::Kilns, &title(&kiln), &body))
        }
        Err(e) => {
            let side = |s: &Source| Side {
                form: filled(&v, s).unwrap_or_default(),
                ..Side::default()
            };
            let clash = clash(&v, e, &typed, side).await?;
            let (_, source) = of(&v, &id).await?;
            let body = page(&v, &kiln, &source, kind, &clash.typed, &[], &beside);
            Ok(v.clashed(Here::Kilns, &title(&kiln), &clash, &body))
        }
    }
}

async fn trial(
    v: &Visit,
    kiln: &str,
    kind: SourceKind,
    typed: &Typed,
    faults: &mut Vec<Fault>,
) -> Option<Result<Tried, (String, String)>> {
    match form::read(kind, &typed.0, v.app.hear.logs()) {
        Ok((way, _)) => Some(try_out(&v.app.hear, kiln, &way, v.now).await),
        Err(wrong) => {
            faults.extend(wrong);
            None
        }
    }
}
