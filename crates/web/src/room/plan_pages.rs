//! The plan of a firing: load, tiers, firing, what stays out; and as files.

use axum::http::header;
use axum::response::{IntoResponse, Response};
use glost_model::book::Act;
use glost_model::plan_file::PlanFile;
use glost_studio::desk::DeskError;
use glost_studio::{compare, load_sheet};
use maud::{Markup, html};

use super::firing::plan_of;
use crate::app::{Here, Path, Query, Trouble, Typed, Visit, called};
use crate::page;

async fn plan(v: &Visit, id: &str) -> Result<PlanFile, Trouble> {
    v.must(Act::Plan)?;
    plan_of(v, id)
        .await?
        .ok_or_else(|| DeskError::cannot("there is no plan yet", "Plan the firing first").into())
}

fn around(id: &str, part: &Markup) -> Markup {
    html! {
        (part)
        p.steps { a.step href={ "/firings/" (id) } { "Back to firing " (id) } a.step href={ "/firings/" (id) "/load-sheet.pdf" } { "Load sheet (PDF)" } a.step href={ "/firings/" (id) "/plan.json" } { "Plan as data (JSON)" } }
    }
}

/// The load.
pub async fn load(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    let plan = plan(&v, &id).await?;
    let base = format!("/firings/{id}");
    let body = html! {
        (page::load::body(&plan, &base))
        (page::kiln_view::part(Some(&format!("{base}/bench/scene"))))
    };
    Ok(v.page(
        Here::Firings,
        &format!("Load of firing {id}"),
        &around(&id, &body),
    ))
}

/// A tier.
pub async fn tier(v: Visit, Path((id, name)): Path<(String, String)>) -> Result<Response, Trouble> {
    let plan = plan(&v, &id).await?;
    let body = page::tier::body(&plan, &format!("/firings/{id}"), &name).ok_or(Trouble::Missing)?;
    Ok(v.page(
        Here::Firings,
        &format!("Firing {id}, tier {name}"),
        &around(&id, &body),
    ))
}

/// The firing to set and its forecast.
pub async fn programme(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    let plan = plan(&v, &id).await?;
    let body = page::firing::body(&plan);
    Ok(v.page(
        Here::Firings,
        &format!("Firing {id}: programme and forecast"),
        &around(&id, &body),
    ))
}

/// What stays out.
pub async fn stays(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    let plan = plan(&v, &id).await?;
    let body = page::stays::body(&plan);
    Ok(v.page(
        Here::Firings,
        &format!("Stays out of firing {id}"),
        &around(&id, &body),
    ))
}

/// The load sheet.
pub async fn sheet(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    let plan = plan(&v, &id).await?;
    let pdf = tokio::task::spawn_blocking(move || load_sheet(&plan))
        .await
        .map_err(|e| DeskError::Machine(e.to_string()))?
        .map_err(|e| DeskError::Machine(e.to_string()))?;
    Ok(file(
        "application/pdf",
        &format!("load-sheet-{id}.pdf"),
        pdf,
    ))
}

/// The plan as data.
pub async fn json(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let text = v
        .app
        .desk
        .store
        .paper(glost_studio::desk::firing::PLAN, &id)
        .await?
        .ok_or(Trouble::Missing)?;
    Ok(file(
        "application/json",
        &format!("plan-{id}.json"),
        text.into_bytes(),
    ))
}

/// A file that is shown or kept under a name.
pub fn file(kind: &'static str, name: &str, bytes: Vec<u8>) -> Response {
    let disposition = format!("inline; filename=\"{name}\"");
    (
        [
            (header::CONTENT_TYPE, kind.to_owned()),
            (header::CONTENT_DISPOSITION, disposition),
        ],
        bytes,
    )
        .into_response()
}

/// Two plans beside one another.
pub async fn beside(
    v: Visit,
    Path(id): Path<String>,
    Query(q): Query<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    let a = plan(&v, &id).await?;
    let other = Typed(q).get("with").to_owned();
    let drafts = v
        .app
        .desk
        .firings(&["draft", "accepted"], None, 0, 50)
        .await?;
    let body = if other.is_empty() {
        html! {
            h2 { "Beside which other?" }
            ul.rows { @for f in drafts.iter().filter(|f| f.body.id != id) { li { a href={ "/firings/" (id) "/beside?with=" (f.body.id) } {
                (f.body.id) " " (f.body.kiln) ", cone " (f.body.cone) ", " (called::several(f.body.summary.pieces.into(), "piece"))
            } } } }
            @if drafts.len() < 2 { p.empty { "There is no other plan. Plan another draft first." } }
        }
    } else {
        let b = plan(&v, &other).await?;
        let (na, nb) = (format!("Firing {id}"), format!("Firing {other}"));
        let compared = tokio::task::spawn_blocking(move || compare(&a, &b))
            .await
            .map_err(|e| DeskError::Machine(e.to_string()))?;
        page::compare::part(&compared, (&na, &nb))
    };
    Ok(v.page(
        Here::Firings,
        &format!("Firing {id} beside another"),
        &around(&id, &body),
    ))
}
