//! Furniture that broke, got lost or wore out.

use axum::response::Response;
use glost_model::Length;
use glost_model::book::upkeep::WHYS;
use glost_model::book::{Act, Counted, Loss};
use glost_model::fault::Fault;
use glost_model::furniture::{PostStock, ShelfStock, SupportStock};
use glost_studio::desk::DeskError;
use glost_studio::desk::lose::NewLoss;
use maud::{Markup, html};

use super::stock_forms::Keeps;
use crate::app::fields::{Fields, Look, options};
use crate::app::{Form, Here, Trouble, Typed, Visit, called};
use crate::page::wide;

/// Losses that are shown.
const MOST: u32 = 200;

/// The page.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    let mut typed = Typed::default();
    typed.set("gone", "1");
    let body = page(&v, &typed, &[]).await?;
    Ok(v.page(Here::Kilns, "Broken, lost or worn", &body))
}

async fn page(v: &Visit, typed: &Typed, faults: &[Fault]) -> Result<Markup, DeskError> {
    let losses = v.app.desk.losses(v.actor(), MOST).await?;
    let names = v.app.desk.names().await?;
    let f = Fields { typed, faults };
    let mut things = options([("", "choose")]);
    things.extend(listed::<ShelfStock>(v).await?);
    things.extend(listed::<PostStock>(v).await?);
    things.extend(listed::<SupportStock>(v).await?);
    Ok(html! {
        p { "There are so many fewer from then on, and no plan uses what is gone. A load that was accepted before still asks for it: plan it anew." }
        (f.summary())
        @if v.may(Act::Fire) {
            form method="post" action="/furniture/losses" {
                (f.select("thing", "What", "", &things))
                (f.text("gone", "How many", Look { keys: "numeric", ..Look::default() }))
                (f.choice("why", "Why", &WHYS.map(|w| (w, w))))
                (f.lines("words", "In words", "In which firing, where in the kiln"))
                div.steps { button.main type="submit" { "Write it down" } a.step href="/furniture" { "Furniture" } }
            }
        }
        h2 { "Written down" }
        @if losses.is_empty() { p.empty { "Nothing yet." } }
        @else { (wide("Losses", html! { table {
            thead { tr { th scope="col" { "When" } th scope="col" { "What" } th scope="col" { "Gone" } th scope="col" { "Left" } th scope="col" { "Why" } th scope="col" { "Who" } } }
            tbody { @for k in &losses { @let l = &k.body; tr {
                td { (v.when(l.at)) } th scope="row" { (called::thing(&l.kind)) ": " (named(v, l)) } td { (l.gone) } td { (l.left) }
                td { (l.why) @if !l.words.is_empty() { ": " (l.words) } }
                td { (names.get(&l.who).map_or(l.who.as_str(), String::as_str)) }
            } } }
        } })) }
    })
}

/// Its name; that of posts is their length, which is told in the visitor's units.
fn named(v: &Visit, loss: &Loss) -> String {
    let mm = loss.name.strip_suffix(" mm").and_then(|n| n.parse().ok());
    match mm.filter(|_| loss.kind == "post") {
        Some(mm) => v.shown().length(Length::mm(mm)),
        None => loss.name.clone(),
    }
}

/// Those of one kind that are left, as `kind/id` with their names.
async fn listed<T: Keeps + Counted>(v: &Visit) -> Result<Vec<(String, String)>, DeskError> {
    let all = v.app.desk.stock::<T>().await?;
    Ok(all
        .iter()
        .filter(|k| k.body.thing.count() > 0)
        .map(|k| {
            let thing = &k.body.thing;
            let name = format!(
                "{}: {}, {}",
                called::thing(T::KIND),
                thing.called(v.shown()),
                thing.about(v.shown())
            );
            (format!("{}/{}", T::KIND, k.body.id), name)
        })
        .collect())
}

/// Writes a loss down.
pub async fn note(v: Visit, Form(sent): Form<Vec<(String, String)>>) -> Result<Response, Trouble> {
    let typed = Typed(sent);
    let (kind, thing) = typed.get("thing").split_once('/').unwrap_or(("", ""));
    let loss = NewLoss {
        kind: kind.to_owned(),
        thing: thing.to_owned(),
        gone: typed.get("gone").trim().parse().unwrap_or(0),
        why: typed.get("why").to_owned(),
        words: typed.get("words").to_owned(),
    };
    match v.app.desk.lose(v.actor(), &loss).await {
        Ok(turn) => Ok(v.done("/furniture/losses", turn)),
        Err(DeskError::Faults(faults)) => {
            let body = page(&v, &typed, &faults).await?;
            Ok(v.again(Here::Kilns, "Broken, lost or worn", &body))
        }
        Err(e) => Err(e.into()),
    }
}
