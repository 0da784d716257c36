//! The first page: what there is to do.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use glost_model::book::{Act, Firing, FiringState, State as At};
use glost_studio::desk::ware::WareLook;
use jiff::Timestamp;
use maud::{Markup, html};

use super::firing::later;
use super::ware::line;
use crate::app::fields::hidden;
use crate::app::{App, Here, Trouble, Visit, called};

/// The page.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    let desk = &v.app.desk;
    let counts = desk.ware_counts(v.person()).await?;
    let of = |s: At| counts.get(s.key()).copied().unwrap_or(0);
    let fires = v.may(Act::Plan);
    let on = [
        FiringState::Draft,
        FiringState::Accepted,
        FiringState::Loading,
        FiringState::Firing,
        FiringState::Cooling,
        FiringState::Opened,
    ]
    .map(FiringState::key);
    let firings = if fires {
        desk.firings(&on, None, 0, 30).await?
    } else {
        Vec::new()
    };
    let here: Vec<&str> = At::ALL
        .into_iter()
        .filter(|s| s.here())
        .map(At::key)
        .collect();
    let mine = WareLook {
        states: &here,
        owner: Some(&v.person().id),
        latest: true,
        most: 12,
        ..WareLook::default()
    };
    let (own, _) = desk.wares(v.person(), &mine).await?;
    let last = desk.last_step(v.actor()).await?;
    let s = &v.given.studio;
    let nothing = s.kilns.is_empty()
        || s.clays.is_empty()
        || s.furniture.shelves.is_empty()
        || s.furniture.posts.is_empty();
    // Who set the studio up is told so until somebody else is in it.
    let alone = v.may(Act::Govern) && desk.names().await?.len() < 2;
    let all = v.may(Act::SeeAllWare);
    let body = html! {
        @if (nothing || alone) && v.may(Act::Keep) { (first_steps(&v, alone)) }
        p.steps {
            a.step.main href="/ware/new" { "Hand in a piece" }
            @if fires { a.step href="/firings/new" { "Plan a firing" } }
            @if v.may(Act::Fire) { a.step href="/notices" { "Notices" } }
            @if v.may(Act::HandBack) { a.step href="/back" { "Hand back" } }
            @if v.may(Act::Charge) && !fires { a.step href="/accounts" { "Accounts" } }
        }
        // What was just done stands above the page already.
        @if let Some(t) = last.filter(|t| v.did != Some(t.id)) {
            form.did method="post" action={ "/undo/" (t.id) } {
                span { "Your last step: " (t.verb) ", " (v.when(t.at)) "." }
                (hidden("to", "/"))
                button type="submit" aria-label={ "Undo: " (t.verb) } { "Undo" }
            }
        }
        @if all || WARE.iter().any(|w| of(w.0) > 0) {
            h2 { @if all { "Ware" } @else { "Where it is" } }
            @if WARE.iter().all(|w| of(w.0) == 0) { p.empty { "No ware is here." } }
            ul.counts { @for (state, words) in WARE { @if of(state) > 0 { (count(state, of(state), words)) } } }
        }
        @if fires {
            h2 { "Firings" }
            @if firings.is_empty() { p.empty { "No firing is planned or under way." } }
            ul.rows { @for f in &firings { @let f = &f.body; li { a href={ "/firings/" (f.id) } {
                strong { (f.id) " " (f.kiln) ", cone " (f.cone) } " " (f.state.words())
                @if f.summary.pieces > 0 { ", " (called::several(f.summary.pieces.into(), "piece")) }
                @if let Some(at) = f.starts.filter(|_| f.started.is_none()) { ", to start " (v.when(at)) }
                @if let Some(at) = ends(f) { span.small { "Its programme is foreseen to end " (v.when(at)) } }
            } } } }
        }
        (super::upkeep::work_list(&v).await?)
        h2 { "Your own ware" }
        @if own.is_empty() { p.empty { "None of your ware is here." } }
        ul.rows { @for w in &own { (line(&w.body, &v)) } }
        @if !own.is_empty() || (!all && of(At::HandedBack) > 0) { p { a href={ "/ware?owner=" (v.person().id) } { "All your ware" } } }
    };
    Ok(v.page(Here::Today, "Today", &body))
}

/// When a kiln that is on is foreseen to be through.
fn ends(f: &Firing) -> Option<Timestamp> {
    let on = f.state == FiringState::Firing;
    Some(later(f.started.filter(|_| on)?, f.summary.takes_s?))
}

/// What is counted, as far as there is any.
const WARE: [(At, &str); 7] = [
    (At::Made, "to be looked over"),
    (At::NeedsAttention, "need attention"),
    (At::Waiting, "wait for a firing"),
    (At::Planned, "in planned firings"),
    (At::InKiln, "in kilns"),
    (At::Bisqued, "bisqued, to be fetched"),
    (At::Ready, "fired, to be fetched"),
];

fn count(state: At, n: u64, words: &str) -> Markup {
    html! { li { a href={ "/ware?state=" (state.key()) } { strong { (n) } " " (words) } } }
}

/// What a new studio lacks first, said where something of it was just written down.
pub fn next_step(v: &Visit) -> Markup {
    let s = &v.given.studio;
    let furniture = s.furniture.shelves.is_empty() || s.furniture.posts.is_empty();
    let steps = [
        (s.kilns.is_empty(), "/kilns/new", "write your kiln down"),
        (furniture, "/furniture", "count your shelves and posts"),
        (s.clays.is_empty(), "/clays", "list your clays and glazes"),
    ];
    let next = steps.into_iter().find(|s| s.0);
    html! { @if let Some((_, to, words)) = next.filter(|n| v.may(Act::Keep) && !n.1.starts_with(&v.path)) {
        p.note { "Next: " a href=(to) { (words) } "." }
    } }
}

/// What a new studio needs before anything can be planned.
fn first_steps(v: &Visit, alone: bool) -> Markup {
    let s = &v.given.studio;
    let step = |done: bool, to: &str, words: &str| {
        html! { li { @if done { strong { "Done: " } (words) } @else { a href=(to) { (words) } } } }
    };
    html! { section.panel {
        h2 { "First steps" }
        p { "Three things, and a first load can be planned; then people, and what electricity costs." }
        ol {
            (step(!s.kilns.is_empty(), "/kilns/new", "Write your kiln down"))
            (step(!s.furniture.shelves.is_empty() && !s.furniture.posts.is_empty(), "/furniture", "Count your shelves and posts"))
            (step(!s.clays.is_empty(), "/clays", "List your clays and glazes"))
            @if v.may(Act::Govern) {
                (step(!alone, "/studio/people", "Invite the people of the studio"))
                (step(s.tariff.has_price(), "/studio#f-energy-price-per-kwh", "Set prices, else firings and ware cost nothing"))
            }
        }
    } }
}

/// Whether the program and its store are well.
pub async fn health(State(app): State<App>) -> Response {
    match app.desk.store.ping().await {
        Ok(()) => (StatusCode::OK, "well\n").into_response(),
        Err(_) => (
            StatusCode::SERVICE_UNAVAILABLE,
            "the store does not answer\n",
        )
            .into_response(),
    }
}
