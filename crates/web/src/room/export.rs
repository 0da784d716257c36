//! Everything for other programs.

use axum::response::Response;
use glost_model::book::Act;
use glost_studio::keep::{JSON_NAME, sheet, sheets};
use maud::html;

use super::plan_pages::file;
use crate::app::{Here, Path, Trouble, Visit};

/// What can be had.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let body = html! {
        p { "The whole book, to take elsewhere or to work on with other programs. It holds people's names, so keep it as you keep the book." }
        ul.rows {
            li { a href={ "/studio/export/" (JSON_NAME) } {
                strong { "Everything in one file" }
                span.small { "JSON, with every version of everything and who made it. " code { "glost import" } " brings it into a new book. Who may sign in is not in it" }
            } }
            @for name in sheets() { li { a href={ "/studio/export/" (name) } {
                strong { (name) }
                span.small { (told(&name)) }
            } } }
        }
        p { "With the photos beside: " code { "glost export --out FOLDER" } " on the machine of the book. For a backup that brings everything back, sign-in too: " code { "glost backup --out FILE" } "." }
    };
    Ok(v.page(Here::Studio, "Export", &body))
}

fn told(name: &str) -> &'static str {
    match name.strip_suffix(".csv").unwrap_or(name) {
        "person" => "People and their roles",
        "ware" => "All ware, with its state, firings and faults",
        "firing" => "All firings, with times, energy, cones and notes",
        "settings" => "What the studio is set to",
        "entry" => "What was charged and paid",
        "upkeep" => "What was replaced, washed and read on kilns",
        "loss" => "Furniture that broke, got lost or wore out",
        "lessons" => "What kilns taught, as numbers for the heat model",
        "source" => "Where the readings of kilns come from",
        "notice" => "What people were told of kilns",
        "errand" => "The messages by which they were told",
        "clay" => "Clays",
        "glaze" => "Glazes",
        "kiln" => "Kilns",
        "shelf" => "Shelves",
        "post" => "Posts",
        "support" => "Stilts, pin supports and waster slabs",
        "pieces" => {
            "Ware that is here, as a sheet of ware in the studio's units, which can be taken in again"
        }
        _ => "All of this kind",
    }
}

/// One of the files.
pub async fn one(v: Visit, Path(name): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Govern)?;
    let desk = &v.app.desk;
    if name == JSON_NAME {
        let mut json = Vec::new();
        desk.store.export(&mut json).await?;
        return Ok(file("application/json", JSON_NAME, json));
    }
    match sheet(desk, &name).await? {
        Some(text) => Ok(file("text/csv; charset=utf-8", &name, text.into_bytes())),
        None => Err(Trouble::Missing),
    }
}
