//! Labels with codes to scan.

use axum::http::HeaderMap;
use axum::response::Response;
use glost_model::book::{Act, State};
use glost_sheets::{LABEL_SHEETS, Label, LabelSheet, label_sheet_pdf};
use glost_studio::desk::DeskError;
use glost_studio::desk::verdict::verdict;
use glost_studio::desk::ware::WareLook;
use maud::html;

use super::plan_pages::file;
use crate::app::fields::{Fields, Look, options};
use crate::app::{Here, Links, Query, Trouble, Typed, Visit, escaped};

/// Most labels at once.
const MOST: u32 = 400;

/// Which ware, on which sheet.
pub async fn show(
    v: Visit,
    headers: HeaderMap,
    Query(q): Query<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::LookOver)?;
    let mut typed = Typed(q);
    if typed.get("sheet").is_empty() {
        typed.set(
            "sheet",
            if v.shown().inches {
                "letter-30"
            } else {
                "a4-24"
            },
        );
    }
    let f = Fields {
        typed: &typed,
        faults: &[],
    };
    let sheets = options(LABEL_SHEETS.iter().map(|s| (s.id, s.name)));
    let today = WareLook {
        states: &[
            State::Made.key(),
            State::Waiting.key(),
            State::Drying.key(),
            State::NeedsAttention.key(),
        ],
        latest: true,
        most: MOST,
        ..WareLook::default()
    };
    let (ware, _) = v.app.desk.wares(v.person(), &today).await?;
    let asked = typed.all("code");
    let body = html! {
        p { "Print at 100 %, not fitted to the page. The square code opens the piece on a phone; the letters can be written on a slip." }
        (Links::of(&v, &headers).warning())
        @if ware.is_empty() { p.empty { "Nothing has come in that needs a label." } }
        @else { form method="get" action="/ware/labels.pdf" {
            (f.select("sheet", "Sheet of labels", "", &sheets))
            (f.text("skip", "Places used already on the first sheet", Look { keys: "numeric", optional: true, ..Look::default() }))
            fieldset.choice { legend { "Pieces" } ul.ticks { @for w in &ware { @let w = &w.body; li { label.tick-line {
                input type="checkbox" name="code" value=(w.code()) checked[if asked.is_empty() { v.local(w.since).date() == v.today() } else { asked.iter().any(|c| c == w.code()) }];
                span { strong.code { (w.code()) } " " (w.piece.what) ", " (w.piece.maker) }
            } } } } }
            div.steps { button.main type="submit" { "Labels (PDF)" } }
        } }
    };
    Ok(v.page(Here::Ware, "Labels", &body))
}

/// The labels.
pub async fn pdf(
    v: Visit,
    headers: HeaderMap,
    Query(q): Query<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::LookOver)?;
    let q = Typed(q);
    let sheet = LabelSheet::of(q.get("sheet")).ok_or_else(|| {
        DeskError::cannot("there is no such sheet of labels", "Choose one of the list")
    })?;
    let skip = match q.get("skip").trim() {
        "" => 0,
        text => text.parse().map_err(|_no_number| {
            DeskError::field(
                "skip",
                format!("'{text}' is no number of places"),
                "Write how many are used, as 3",
            )
        })?,
    };
    let links = Links::of(&v, &headers);
    let mut labels = Vec::new();
    for code in q.all("code").into_iter().take(MOST as usize) {
        let w = v.app.desk.ware(v.person(), &code).await?.body;
        let verdict = verdict(&v.given, &w.piece);
        labels.push(Label {
            what: w.piece.what.clone(),
            maker: w.piece.maker.clone(),
            clay: w.piece.clay.clone(),
            glazes: w.piece.glazes.clone(),
            cone: w.piece.asked_cone.or(verdict.cone),
            kind: match verdict.kind {
                glost_model::load::FiringKind::Bisque => "bisque".to_owned(),
                glost_model::load::FiringKind::Glaze => "glaze".to_owned(),
            },
            came_in: w.piece.came_in,
            url: links.to(&format!("/ware/{}", escaped(&code))),
            code,
        });
    }
    let pdf = tokio::task::spawn_blocking(move || label_sheet_pdf(&sheet, skip, &labels))
        .await
        .map_err(|e| DeskError::Machine(e.to_string()))?;
    let pdf = pdf
        .map_err(|e| DeskError::cannot(e.to_string(), "Choose pieces, and a place that is free"))?;
    Ok(file("application/pdf", "labels.pdf", pdf))
}
