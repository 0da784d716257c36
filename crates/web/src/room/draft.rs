//! A plan being made: its progress, live; and begun anew.

use std::convert::Infallible;

use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Redirect, Response};
use glost_model::book::{Act, Firing, Person, Role};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_studio::Growing;
use glost_studio::desk::propose::{Effort, plan_draft_shown};
use glost_studio::desk::{Actor, DeskError, NewFiring};
use jiff::civil::Date;
use maud::{Markup, html};
use tokio_stream::StreamExt as _;
use tokio_stream::wrappers::WatchStream;

use super::growth::Growth;
use super::wishes;
use crate::app::jobs::Progress;
use crate::app::{App, Form, Here, Path, Trouble, Typed, Visit};

/// Begins to plan a draft.
///
/// # Errors
/// Of the store.
pub async fn begin(v: &Visit, firing: &Firing, effort: &str, seed: u64) -> Result<bool, DeskError> {
    let effort = match effort {
        "short" => Effort::Short,
        "long" => Effort::Long,
        _ => Effort::Usual,
    };
    begin_for(&v.app, v.person(), v.today(), firing, effort, seed).await
}

/// The same for somebody who does not visit a page just now.
///
/// # Errors
/// Of the store.
pub async fn begin_for(
    app: &App,
    person: &Person,
    today: Date,
    firing: &Firing,
    effort: Effort,
    seed: u64,
) -> Result<bool, DeskError> {
    let (studio, book) = app.desk.studio_with_waiting().await?;
    let draft = firing.clone();
    let (desk, person, id, now) = (
        app.desk.clone(),
        person.clone(),
        firing.id.clone(),
        app.clock,
    );
    Ok(app.jobs.begin(
        &firing.id,
        move |tell| {
            let growth = Growth::new(studio.clone(), &draft.kiln);
            let watch = |phase: &str, g: &Growing<'_>| growth.tell(tell, phase, g);
            plan_draft_shown(studio, &book, &draft, today, seed, effort, &watch)
                .map_err(|e| e.to_string())
        },
        move |plan| async move {
            let actor = Actor {
                person: &person,
                at: now(),
            };
            desk.keep_plan(actor, &id, &plan, "plan firing")
                .await
                .map(|_turn| ())
                .map_err(|e| e.to_string())
        },
    ))
}

/// The part of a page that follows a plan being made.
pub fn progress(id: &str) -> Markup {
    html! {
        section #progress.panel data-events={ "/firings/" (id) "/progress" } {
            h2 { "Being planned" }
            p #progress-words role="status" aria-live="polite" { "The planner is at work." }
            progress #progress-bar max="1" value="0" aria-label="Share done" {}
            p #progress-worth {}
            div #progress-load.growing {}
            form method="post" action={ "/firings/" (id) "/stop" } {
                button type="submit" { "Stop, and take the best so far" }
            }
            p { "You may leave this page; the plan is kept when it is done. " a href="" { "Look again" } }
            script type="module" src="/asset/progress.js" {}
        }
    }
}

/// Its progress as events of the server.
pub async fn events(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    Ok(follow(&v, &id))
}

/// Progress of a job as events of the server.
pub fn follow(v: &Visit, job: &str) -> Response {
    let Some(watch) = v.app.jobs.watch(job) else {
        let over = Progress {
            over: true,
            share: 1.0,
            ..Progress::default()
        };
        let stream = tokio_stream::once(event(&over, false));
        return Sse::new(stream).into_response();
    };
    // The last word is sent, and then the stream ends with the job.
    let mut seen = 0;
    let stream = WatchStream::new(watch).map(move |p| {
        // A drawing is sent once.
        let new = p.drawn.number != seen;
        seen = p.drawn.number;
        event(&p, new)
    });
    Sse::new(stream)
        .keep_alive(KeepAlive::default())
        .into_response()
}

fn event(p: &Progress, drawn: bool) -> Result<Event, Infallible> {
    let text = serde_json::json!({
        "phase": p.phase,
        "share": p.share,
        "worth": p.worth,
        "tiers": drawn.then_some(&p.drawn.tiers),
        "over": p.over,
        "trouble": p.trouble,
    });
    Ok(Event::default().data(text.to_string()))
}

/// Stops a plan being made.
pub async fn stop(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    if id != super::firings::ALL {
        v.app.desk.firing(&id).await?;
    }
    v.app.jobs.stop(&id);
    Ok(Redirect::to(&format!("/firings/{id}")).into_response())
}

/// Plans a draft anew.
pub async fn again(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let typed = Typed(sent);
    let firing = v.app.desk.firing(&id).await?.body;
    if firing.state != glost_model::book::FiringState::Draft {
        return Err(DeskError::cannot(
            format!("firing {id} is {}", firing.state.words()),
            "Only a draft is planned anew",
        )
        .into());
    }
    let wished = wishes::read(&v, &typed, None);
    let firing = match wished {
        Ok(wished) => {
            let wish = v.app.desk.wish(v.actor(), &id, typed.version(), &wished);
            wish.await?
        }
        Err(DeskError::Faults(faults)) => {
            let kept = v.app.desk.firing(&id).await?;
            let body = super::firing::page(&v, &kept, &typed, &faults).await?;
            return Ok(v.again(Here::Firings, &super::firing::title(&kept.body), &body));
        }
        Err(e) => return Err(e.into()),
    };
    let seed = typed.get("seed").parse().unwrap_or(1);
    begin(&v, &firing, typed.get("effort"), seed).await?;
    Ok(Redirect::to(&format!("/firings/{id}")).into_response())
}

/// Begins to plan a first firing of the invented studio, so that there is a load to look at.
///
/// # Errors
/// Of the store.
pub async fn begin_demo(app: &App) -> Result<(), DeskError> {
    let people = app.desk.who_fires().await?;
    let given = app.desk.given().await?;
    let (Some(person), Some(kiln)) = (
        people.iter().find(|p| p.role == Role::Technician),
        given.studio.kilns.first(),
    ) else {
        return Ok(());
    };
    let cone = Cone::parse("6").map_err(|e| DeskError::Machine(e.to_string()))?;
    let at = app.now();
    let new = NewFiring {
        kiln: kiln.name.clone(),
        cone,
        kind: FiringKind::Glaze,
        starts: None,
        wished: glost_model::book::Wished::default(),
    };
    let firing = app.desk.new_firing(Actor { person, at }, &new).await?;
    let today = at.to_zoned_datetime(crate::app::zone_of(&given)).date();
    begin_for(app, person, today, &firing, Effort::Usual, 1).await?;
    Ok(())
}
