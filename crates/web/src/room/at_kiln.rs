//! The load sheet for the phone, at the kiln: ticks that outlast a dead network, and what is not here.

use axum::Json;
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use glost_model::book::{Act, Firing, FiringState};
use glost_model::load::Tier;
use glost_model::plan_file::PlanFile;
use glost_sheets::CAUTIONS;
use glost_studio::desk::DeskError;
use glost_studio::desk::load::{Missing, Tick, Ticks};
use maud::{Markup, PreEscaped, html};

use super::firing::plan_of;
use crate::app::fields::hidden;
use crate::app::{Form, Here, Path, Trouble, Typed, Visit, called, escaped};
use crate::page::cautions::list;
use crate::page::drawing;

/// The page.
pub async fn show(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let f = v.app.desk.firing(&id).await?.body;
    let plan = plan_of(&v, &id)
        .await?
        .ok_or_else(|| DeskError::cannot("there is no plan yet", "Plan the firing first"))?;
    let ticks = v.app.desk.ticks(&id).await?;
    let body = page(&f, &plan, &ticks);
    Ok(v.page(
        Here::Firings,
        &format!("Load {}, firing {id}", f.kiln),
        &body,
    ))
}

fn page(f: &Firing, plan: &PlanFile, ticks: &Ticks) -> Markup {
    let at = format!("/firings/{}", f.id);
    let fetch = glost_sheets::Fetch::new(&plan.studio, &plan.load);
    let changes = matches!(f.state, FiringState::Accepted | FiringState::Loading);
    let sent = serde_json::to_string(ticks)
        .unwrap_or_default()
        .replace('<', "\\u003c");
    html! {
        p.lead { "Cone " strong { (f.cone) } ", " (f.cone.range_name()) ". " (called::several(f.summary.pieces.into(), "piece")) "." }
        div #sheet data-firing=(f.id) data-to={ (at) "/ticks" } {
            script #ticks type="application/json" { (PreEscaped(sent)) }
            p #net role="status" aria-live="polite" {}
            p #out.warn role="alert" hidden { "You are signed out: the ticks stay on this phone and are not sent. " a href={ "/enter?to=" (escaped(&format!("{at}/at-kiln"))) } { "Sign in again" } "." }
            p { strong #done-count {} }
            (list(CAUTIONS.first))
            h2 { "Fetch" }
            (list(CAUTIONS.fetch))
            form method="post" action={ (at) "/ticks-form" } {
                ul.ticks {
                    @for (i, item) in fetch.shelves.iter().chain(&fetch.posts).chain(&fetch.supports).enumerate() {
                        li { (tick(&format!("fetch/{i}"), ticks, &html! { strong { (item.count) " ×" } " " (item.what) })) }
                    }
                    @if fetch.cone_packs > 0 { li { (tick("fetch/cones", ticks, &html! { strong { (fetch.cone_packs) " ×" } " pack of witness cones for cone " (f.cone) })) } }
                }
                p { "Where each stands: by the clock as seen from above, 12 toward the hinge or the door; then how far from the middle." }
                @for t in &plan.load.tiers { (tier(plan, t, ticks, &at)) }
                noscript { div.steps { button.main type="submit" { "Keep the ticks" } } }
            }
            @if changes { (gone(plan, &at)) }
        }
        p.steps { a.step href=(at) { "Back to firing " (f.id) } }
        script type="module" src="/asset/at-kiln.js" {}
    }
}

fn tick(key: &str, ticks: &Ticks, words: &Markup) -> Markup {
    let done = ticks.get(key).is_some_and(|t| t.done);
    html! { @if done { (hidden("was", key)) } label.tick-line { input type="checkbox" name="tick" value=(key) data-key=(key) checked[done]; span { (words) } } }
}

fn tier(plan: &PlanFile, t: &Tier, ticks: &Ticks, at: &str) -> Markup {
    let studio = &plan.studio;
    let kiln = studio.kiln(&plan.load.kiln);
    html! {
        section.tier id={ "tier-" (t.name) } {
            h2 { "Tier " (t.name) }
            ul.ticks {
                @for (i, p) in t.posts.iter().enumerate() { li { (tick(&format!("post/{}/{i}", t.name), ticks, &html! {
                    "Post " strong { (p.lengths_m.iter().map(|l| studio.shown.length(*l)).collect::<Vec<_>>().join(" + ")) } ", " (glost_sheets::place(studio.shown, p.x_m, p.y_m))
                })) } }
                li { (tick(&format!("shelf/{}", t.name), ticks, &html! { "Shelf " strong { (t.shelf) } ", top " (studio.shown.length(t.top_m)) " above the floor" })) }
            }
            @if let Some(kiln) = kiln { (drawing(|paper| glost_sheets::tier_svg(studio, kiln, &plan.load, t, paper), &format!("Tier {} from above", t.name))) }
            ol.ticks {
                @for p in &t.pieces {
                    @let piece = studio.piece(&p.piece);
                    li {
                        (tick(&format!("piece/{}", p.piece), ticks, &html! {
                            strong.code { (p.piece) } " " (piece.map_or("", |q| q.what.as_str())) ", " (piece.map_or("", |q| q.maker.as_str())) ": "
                            (glost_sheets::place(studio.shown, p.x_m, p.y_m))
                            @if let Some(on) = &p.on { ", " (on.words()) }
                            @if !p.supports.is_empty() { ", on " (p.supports.join(", then ")) }
                            @for words in &p.mind { br; strong { "Mind: " } (words) "." }
                        }))
                    }
                }
                @if !t.cone_packs.is_empty() { li { (tick(&format!("cones/{}", t.name), ticks, &html! { "Pack of witness cones, where the drawing has it" })) } }
            }
            p { a href={ (at) "/tier/" (t.name) } { "Larger, with all posts" } }
        }
    }
}

/// What is not here, or does not fit.
fn gone(plan: &PlanFile, at: &str) -> Markup {
    html! {
        section.panel {
            h2 { "Not here, or does not fit?" }
            p { "The rest is planned anew with as few changes as can be; what is ticked stays where it stands. This needs the network." }
            form method="post" action={ (at) "/leave-out" } {
                div.field { label for="gone" { "Piece" } select #gone name="piece" {
                    @for (t, p) in plan.load.placed() { option value=(p.piece) { (p.piece) ", tier " (t.name) @if let Some(q) = plan.studio.piece(&p.piece) { ", " (q.what) ", " (q.maker) } } }
                } }
                div.steps {
                    button type="submit" name="why" value="not-here" { "It is not here" }
                    button type="submit" name="why" value="does-not-fit" { "It does not fit" }
                }
            }
        }
    }
}

/// Ticks sent by the page's script, also late.
pub async fn ticks(
    v: Visit,
    Path(id): Path<String>,
    Json(ticks): Json<Ticks>,
) -> Result<Json<Ticks>, Trouble> {
    v.must(Act::Fire)?;
    Ok(Json(v.app.desk.set_ticks(v.actor(), &id, ticks).await?))
}

/// Ticks sent as a form, without script.
pub async fn ticks_form(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let now = typed.all("tick");
    let mut ticks = Ticks::new();
    // Only what this page showed as ticked was taken back: others tick at the same time.
    for key in typed.all("was").into_iter().filter(|k| !now.contains(k)) {
        ticks.insert(
            key,
            Tick {
                done: false,
                at: v.now,
                who: String::new(),
            },
        );
    }
    for key in now {
        ticks.insert(
            key,
            Tick {
                done: true,
                at: v.now,
                who: String::new(),
            },
        );
    }
    let _all: Ticks = v.app.desk.set_ticks(v.actor(), &id, ticks).await?;
    Ok(Redirect::to(&format!("/firings/{id}/at-kiln")).into_response())
}

/// A piece does not go; the rest is planned anew.
pub async fn leave_out(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let why = match typed.get("why") {
        "does-not-fit" => Missing::DoesNotFit,
        _ => Missing::NotHere,
    };
    let pieces = typed.all("piece");
    v.app
        .desk
        .leave_out(v.actor(), &id, &pieces, why, v.today())
        .await?;
    Ok(Redirect::to(&format!("/firings/{id}/at-kiln")).into_response())
}

/// Keeps pages of loads for when there is no network. It must lie at the root to be allowed to.
pub async fn keeper() -> Response {
    (
        [(header::CONTENT_TYPE, "text/javascript; charset=utf-8")],
        include_str!("../../assets/keeper.js"),
    )
        .into_response()
}
