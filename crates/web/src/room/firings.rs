//! Firings: what is planned and under way, a new one, and all waiting ware at once.

use axum::response::{IntoResponse, Redirect, Response};
use glost_model::book::{Act, FiringState, State};
use glost_model::cone::Cone;
use glost_model::fault::Fault;
use glost_model::load::FiringKind;
use glost_studio::desk::propose::plan_all;
use glost_studio::desk::verdict::{Answer, verdict};
use glost_studio::desk::ware::WareLook;
use glost_studio::desk::{Actor, DeskError, NewFiring};
use jiff::Timestamp;
use jiff::civil::DateTime;
use maud::{Markup, html};
use std::collections::BTreeMap;

use super::draft::begin;
use super::wishes;
use crate::app::fields::{Fields, Look, options};
use crate::app::{Form, Here, Trouble, Typed, Visit, called};

/// Name under which the dealing out of all waiting ware is watched.
pub const ALL: &str = "all";

/// The list.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let desk = &v.app.desk;
    let list = |states: &[FiringState]| states.iter().map(|s| s.key()).collect::<Vec<_>>();
    let on = list(&[
        FiringState::Loading,
        FiringState::Firing,
        FiringState::Cooling,
        FiringState::Opened,
    ]);
    let next = list(&[FiringState::Draft, FiringState::Accepted]);
    let (on, next) = (
        desk.firings(&on, None, 0, 60).await?,
        desk.firings(&next, None, 0, 60).await?,
    );
    let past = desk
        .firings(
            &list(&[FiringState::Done, FiringState::CalledOff]),
            None,
            0,
            10,
        )
        .await?;
    let rows = |all: &[glost_store::Kept<glost_model::book::Firing>], empty: &str| {
        html! {
            @if all.is_empty() { p.empty { (empty) } }
            ul.rows { @for f in all { @let f = &f.body; li { a href={ "/firings/" (f.id) } {
                strong { (f.id) " " (f.kiln) ", cone " (f.cone) } " " (f.cone.range_name()) ", " (called::how_far(f))
                span.small {
                    @if f.summary.pieces > 0 { (called::several(f.summary.pieces.into(), "piece")) ", " (called::several(f.summary.tiers.into(), "tier")) }
                    @if let Some(at) = f.started.or(f.starts) { ", " @if f.started.is_some() { "started " } @else { "to start " } (v.when(at)) }
                }
            } } } }
        }
    };
    let body = html! {
        p.steps {
            a.step.main href="/firings/new" { "Plan a firing" }
            a.step href="/firings/all" { "Plan all waiting ware" }
            @if v.may(Act::Fire) { a.step href="/firings/written" { "Write a firing down" } }
        }
        h2 { "Under way" }
        (rows(&on, "No kiln is being loaded, fired or opened."))
        h2 { "Planned" }
        (rows(&next, "No firing is planned."))
        h2 { "Past" }
        (rows(&past, "No firing is done yet."))
        @if v.may(Act::Report) { p { a href="/log" { "All firings" } } }
    };
    Ok(v.page(Here::Firings, "Firings", &body))
}

/// The form of a new firing.
pub async fn new(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let mut typed = Typed::default();
    typed.set(
        "kiln",
        v.given.studio.kilns.first().map_or("", |k| k.name.as_str()),
    );
    typed.set("effort", "usual");
    let body = new_page(&v, &typed, &[]).await?;
    Ok(v.page(Here::Firings, "Plan a firing", &body))
}

/// Waiting pieces by kind and by the cone that suits them best.
async fn waiting(v: &Visit) -> Result<BTreeMap<(bool, Cone), u32>, DeskError> {
    let look = WareLook {
        states: &[State::Waiting.key()],
        ..WareLook::default()
    };
    let (ware, _) = v.app.desk.wares(v.person(), &look).await?;
    let mut out = BTreeMap::new();
    for w in &ware {
        let verdict = verdict(&v.given, &w.body.piece);
        if let Some(cone) = verdict.cone.filter(|_| verdict.answer != Answer::No) {
            *out.entry((verdict.kind == FiringKind::Glaze, cone))
                .or_insert(0) += 1;
        }
    }
    Ok(out)
}

async fn new_page(v: &Visit, typed: &Typed, faults: &[Fault]) -> Result<Markup, DeskError> {
    let f = Fields { typed, faults };
    let waiting = waiting(v).await?;
    let mut typed_cone = typed.clone();
    if typed.get("cone").is_empty() {
        let most = waiting.iter().max_by_key(|(_, n)| **n);
        if let Some(((glaze, cone), _)) = most {
            typed_cone.set("cone", cone.to_string());
            typed_cone.set("kind", if *glaze { "glaze" } else { "bisque" });
        }
    }
    let f = Fields {
        typed: &typed_cone,
        ..f
    };
    let kilns: Vec<(String, String)> = v
        .given
        .studio
        .kilns
        .iter()
        .map(|k| {
            (
                k.name.clone(),
                format!("{}, to cone {}", k.name, k.max_cone),
            )
        })
        .collect();
    Ok(html! {
        (f.summary())
        @if kilns.is_empty() { p.empty { "The studio has no kiln yet. " a href="/kilns/new" { "Write one down" } "." } }
        h2 { "What waits" }
        @if waiting.is_empty() { p.empty { "No ware that is fit to fire waits. " a href="/ware?state=made" { "Look over" } " what has come in." } }
        ul { @for ((glaze, cone), n) in &waiting { li { strong { (n) } " to " @if *glaze { "glaze" } @else { "bisque" } " at cone " (cone) " (" (cone.range_name()) ")" } } }
        form method="post" action="/firings/new" {
            (f.select("kiln", "Kiln", "", &kilns))
            (f.choice("kind", "What for?", &[("bisque", "bisque: greenware"), ("glaze", "glaze ware")]))
            (f.text("cone", "Cone", Look { hint: "With its zero: 06 and 6 are very different", ..Look::default() }))
            (f.text("starts", "To be started", Look { kind: "datetime-local", optional: true, ..Look::default() }))
            (f.select("effort", "How long planning may take", "", &options([("short", "a few seconds"), ("usual", "half a minute"), ("long", "some minutes")])))
            (wishes::part(f, v.shown()))
            div.steps { button.main type="submit" { "Plan it" } }
        }
    })
}

/// Opens a draft and begins to plan it.
pub async fn made(v: Visit, Form(sent): Form<Vec<(String, String)>>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let typed = Typed(sent);
    let done = async {
        let cone = Cone::parse(typed.get("cone")).map_err(|e| {
            DeskError::field("cone", e.to_string(), "Write it with its zero, as 06 or 6")
        })?;
        let at = starts(&v, &typed)?;
        let wished = wishes::read(&v, &typed, at)?;
        let new = NewFiring {
            kiln: typed.get("kiln").to_owned(),
            cone,
            kind: if typed.get("kind") == "glaze" {
                FiringKind::Glaze
            } else {
                FiringKind::Bisque
            },
            starts: at,
            wished,
        };
        v.app.desk.new_firing(v.actor(), &new).await
    };
    match done.await {
        Ok(firing) => {
            begin(&v, &firing, typed.get("effort"), 1).await?;
            Ok(Redirect::to(&format!("/firings/{}", firing.id)).into_response())
        }
        Err(DeskError::Faults(faults)) => {
            let body = new_page(&v, &typed, &faults).await?;
            Ok(v.again(Here::Firings, "Plan a firing", &body))
        }
        Err(e) => Err(e.into()),
    }
}

/// A start as typed, in the studio's zone.
pub fn starts(v: &Visit, typed: &Typed) -> Result<Option<Timestamp>, DeskError> {
    moment(v, typed, "starts")
}

/// Day and time as typed into a field, in the studio's zone; nothing when it is empty.
pub fn moment(v: &Visit, typed: &Typed, field: &str) -> Result<Option<Timestamp>, DeskError> {
    let text = typed.get(field).trim();
    if text.is_empty() {
        return Ok(None);
    }
    let wrong = || {
        DeskError::field(
            field,
            format!("'{text}' is no day with a time"),
            "Write it as 2026-11-27T22:00",
        )
    };
    let civil: DateTime = text.parse().map_err(|_other_text| wrong())?;
    let at = civil
        .to_zoned_datetime(v.zone.clone())
        .map_err(|_other_text| wrong())?;
    Ok(Some(at.timestamp()))
}

/// Deals all waiting ware out.
pub async fn all(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let running = v.app.jobs.watch(ALL).is_some();
    let waiting = waiting(&v).await?;
    let pieces: u32 = waiting.values().sum();
    let body = html! {
        p { "All ware that waits is dealt out over the kilns and days: as few firings as can be found, due dates first. Each becomes a draft, which you look at, change and accept, or call off." }
        @if running { (super::draft::progress(ALL)) }
        @else if pieces == 0 { p.empty { "No ware that is fit to fire waits." } }
        @else {
            p.lead { (pieces) " pieces wait." }
            form method="post" action="/firings/all" {
                fieldset.choice { legend { "What counts most?" } div.choices {
                    label { input type="radio" name="aim" value="fewest" checked; span { "few firings" } }
                    label { input type="radio" name="aim" value="cheapest"; span { "cheap firings" } }
                } }
                div.steps { button.main type="submit" { "Plan them" } }
            }
        }
    };
    Ok(v.page(Here::Firings, "Plan all waiting ware", &body))
}

/// Begins to deal out.
pub async fn all_begun(
    v: Visit,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let typed = Typed(sent);
    let (studio, book) = v.app.desk.studio_with_waiting().await?;
    let cheapest = typed.get("aim") == "cheapest";
    let from = v.local(v.now);
    let (desk, person, now) = (v.app.desk.clone(), v.person().clone(), v.app.clock);
    v.app.jobs.begin(
        ALL,
        move |tell| {
            plan_all(&studio, &book, &from, cheapest, &|phase, share, firings| {
                let so_far = called::several(firings as u64, "firing");
                tell.tell(phase, share, format!("{so_far} so far"))
            })
            .map_err(|e| e.to_string())
        },
        move |made| async move {
            let actor = Actor {
                person: &person,
                at: now(),
            };
            desk.keep_drafts(actor, &made)
                .await
                .map_err(|e| e.to_string())
        },
    );
    Ok(Redirect::to("/firings/all").into_response())
}
