//! A plan being made: its progress, live; and begun anew.

use std::convert::Infallible;

use axum::Form;
use axum::extract::Path;
use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Redirect, Response};
use glost_model::book::{Act, Firing};
use glost_model::plan_file::PlanFile;
use glost_placing::PlanAsk;
use glost_studio::desk::{Actor, DeskError};
use glost_studio::{foresee, propose};
use maud::{Markup, html};
use tokio_stream::StreamExt as _;
use tokio_stream::wrappers::WatchStream;

use crate::app::jobs::Progress;
use crate::app::{Trouble, Typed, Visit};

/// Begins to plan a draft.
///
/// # Errors
/// Of the store.
pub async fn begin(v: &Visit, firing: &Firing, effort: &str, seed: u64) -> Result<bool, DeskError> {
    let (studio, book) = v.app.desk.studio_with_waiting().await?;
    let today = v.today();
    let rounds = match effort {
        "short" => 60,
        "long" => 2_000,
        _ => 400,
    };
    let (kiln, cone, kind) = (firing.kiln.clone(), firing.cone, firing.kind);
    let (desk, person, id, now) = (v.app.desk.clone(), v.person().clone(), firing.id.clone(), v.app.clock);
    Ok(v.app.jobs.begin(
        &firing.id,
        move |tell| {
            let ask = PlanAsk { studio: &studio, book: &book, kiln: &kiln, cone, kind, today, seed, rounds, worth: None };
            let load = propose(&ask, &mut |share, value| tell.tell("placing the ware", share * 0.9, value)).map_err(|e| e.to_string())?.load;
            tell.tell("planning the firing", 0.92, load.worth.value);
            let mut plan = PlanFile::new(studio.clone(), load);
            // A load is worth having without its firing.
            if let Err(e) = foresee(&mut plan) {
                tracing::warn!(error = %e, "no firing could be planned for a load");
            }
            Ok(plan)
        },
        move |plan| async move {
            let actor = Actor { person: &person, at: now() };
            desk.keep_plan(actor, &id, &plan, "plan firing").await.map(|_turn| ()).map_err(|e| e.to_string())
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
    let Some(watch) = v.app.jobs.watch(&id) else {
        let over = Progress { over: true, share: 1.0, ..Progress::default() };
        let stream = tokio_stream::once(event(&over));
        return Ok(Sse::new(stream).into_response());
    };
    // The last word is sent, and then the stream ends with the job.
    let stream = WatchStream::new(watch).map(|p| event(&p));
    Ok(Sse::new(stream).keep_alive(KeepAlive::default()).into_response())
}

fn event(progress: &Progress) -> Result<Event, Infallible> {
    let text = serde_json::to_string(progress).unwrap_or_default();
    Ok(Event::default().data(text))
}

/// Stops a plan being made.
pub async fn stop(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    v.app.jobs.stop(&id);
    Ok(Redirect::to(&format!("/firings/{id}")).into_response())
}

/// Plans a draft anew.
pub async fn again(v: Visit, Path(id): Path<String>, Form(sent): Form<Vec<(String, String)>>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let typed = Typed(sent);
    let firing = v.app.desk.firing(&id).await?.body;
    if firing.state != glost_model::book::FiringState::Draft {
        return Err(DeskError::cannot(format!("firing {id} is {}", firing.state.words()), "Only a draft is planned anew").into());
    }
    let seed = typed.get("seed").parse().unwrap_or(1);
    begin(&v, &firing, typed.get("effort"), seed).await?;
    Ok(Redirect::to(&format!("/firings/{id}")).into_response())
}
