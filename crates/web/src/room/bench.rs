//! A draft's load changed by hand.

use axum::extract::FromRequestParts;
use axum::http::request::Parts;
use axum::response::Response;
use glost_model::book::{Act, FiringState};
use glost_studio::desk::wishes::for_planner;
use glost_studio::desk::{DeskError, bench::BenchFault};
use glost_studio::edit::Bench;
use glost_studio::foresee_for;
use maud::html;

use crate::app::{App, Here, Path, Trouble, Visit};
use crate::bench::{Held, Hold, HoldFault};
use crate::page;

/// The bench of a firing, as one visitor has it.
#[derive(Debug)]
pub struct FiringBench {
    visit: Visit,
    firing: String,
}

impl FromRequestParts<App> for FiringBench {
    type Rejection = Trouble;
    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Trouble> {
        let visit = Visit::from_request_parts(parts, app).await?;
        visit.must(Act::Plan)?;
        let Path(firing) = Path::<String>::from_request_parts(parts, app)
            .await
            .map_err(|_no_id| Trouble::Missing)?;
        Ok(Self { visit, firing })
    }
}

impl Hold for FiringBench {
    async fn give(&self) -> Result<Held, HoldFault> {
        let v = &self.visit;
        let (mut bench, version) = v
            .app
            .desk
            .bench(&self.firing, v.today())
            .await
            .map_err(fault)?;
        bench.plan.studio.shown = v.shown();
        Ok(Held { bench, version })
    }

    async fn keep(&self, bench: Bench, was: u64) -> Result<u64, HoldFault> {
        let v = &self.visit;
        v.app
            .desk
            .keep_bench(v.actor(), &self.firing, &bench, was)
            .await
            .map_err(fault)
    }
}

fn fault(e: BenchFault) -> HoldFault {
    match e {
        BenchFault::Changed(now) => HoldFault::Changed(now),
        BenchFault::Desk(DeskError::NotAllowed(_)) => HoldFault::Barred,
        BenchFault::Desk(DeskError::Store(glost_store::StoreError::Missing { .. })) => {
            HoldFault::Gone
        }
        BenchFault::Desk(e) => HoldFault::Trouble(e.to_string()),
    }
}

/// The page.
pub async fn show(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let f = v.app.desk.firing(&id).await?.body;
    let base = format!("/firings/{id}/bench");
    let body = html! {
        @if f.state == FiringState::Draft {
            p { "The judge answers each step at once. What you do here becomes the plan when you take it over." }
            (page::bench::part(&base, None, v.shown()))
            form method="post" action={ (base) "/keep" } { div.steps {
                button.main type="submit" { "Take it over as the plan" }
                a.step href={ "/firings/" (id) } { "Back to firing " (id) }
            } }
            (page::kiln_view::part(None))
        } @else {
            p.empty { "Firing " (id) " is " (f.state.words()) ": its load is changed at the kiln, by what is not here or does not fit." }
            (page::kiln_view::part(Some(&format!("{base}/scene"))))
            p.steps { a.step href={ "/firings/" (id) } { "Back to firing " (id) } }
        }
    };
    Ok(v.page(
        Here::Firings,
        &format!("Load of firing {id} by hand"),
        &body,
    ))
}

/// What was done by hand becomes the plan, with a forecast of its own.
pub async fn keep(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let (bench, _) = v
        .app
        .desk
        .bench(&id, v.today())
        .await
        .map_err(|e| match e {
            BenchFault::Desk(e) => Trouble::Desk(e),
            BenchFault::Changed(_) => Trouble::Missing,
        })?;
    let firing = v.app.desk.firing(&id).await?.body;
    let finished = tokio::task::spawn_blocking(move || {
        let mut plan = bench.finished();
        if plan.forecast.is_none() {
            let wishes = for_planner(&firing, &plan);
            foresee_for(&mut plan, &wishes).map_err(|e| {
                DeskError::cannot(e.to_string(), "Change the load, or plan it again")
            })?;
        }
        Ok::<_, DeskError>(plan)
    });
    let plan = finished
        .await
        .map_err(|e| DeskError::Machine(e.to_string()))??;
    let turn = v
        .app
        .desk
        .keep_plan(
            v.actor(),
            &id,
            &plan,
            "take over the load by hand of firing",
        )
        .await?;
    Ok(v.done(&format!("/firings/{id}"), turn))
}
