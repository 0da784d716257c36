//! A log that is brought in: read as logs of the kiln are, or looked over first and put right.

use std::fs::File;

use axum::response::Response;
use glost_model::book::Act;
use glost_studio::desk::DeskError;
use glost_studio::desk::logs::{Brought, LogLook};
use glost_studio::hear::form;
use maud::{Markup, html};

use super::firing::title;
use super::source::{forms, in_units, samples};
use super::watch;
use crate::app::fields::{Fields, hidden};
use crate::app::{Aside, Form, Here, Path, Query, Trouble, Typed, Visit};

/// Takes a log. One whose titles are those of the kiln's logs is kept at once, unless it is to be looked over.
pub async fn sent(
    v: Visit,
    Path(id): Path<String>,
    Query(q): Query<Vec<(String, String)>>,
    sent: Result<Aside, Trouble>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let Aside(mut file) = sent?;
    let desk = &v.app.desk;
    let look = desk.look_at_log(v.actor(), &id, &mut file, &v.zone, None);
    let look = match look.await {
        Ok(look) => look,
        Err(DeskError::Faults(faults)) => {
            let firing = desk.firing(&id).await?.body;
            let body = watch::page(&v, &id, &Typed::default(), &faults).await?;
            return Ok(v.again(Here::Firings, &title(&firing), &body));
        }
        Err(e) => return Err(e.into()),
    };
    if look.known && look.faults.is_empty() && !Typed(q).on("look") {
        let brought = desk.bring_log_as(v.actor(), &id, &mut file, &v.zone, &look);
        return match brought.await {
            Ok(brought) => done(&v, &id, &look, &brought).await,
            Err(DeskError::Faults(_)) => to_look_over(&v, &id, file, &look, None).await,
            Err(e) => Err(e.into()),
        };
    }
    to_look_over(&v, &id, file, &look, None).await
}

/// Takes how a log is to be read: to be looked at again, or to be kept so.
pub async fn looked_over(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let desk = &v.app.desk;
    let key = typed.get("log");
    let Some(mut file) = v.app.held.take(key, &v.person().id, &id) else {
        let e = DeskError::cannot(
            "the log that you sent is no longer at hand",
            "Bring it in again",
        );
        return Err(e.into());
    };
    let layout = form::read_layout(&typed.0);
    let wrong = layout.as_ref().err().cloned();
    let zone = &v.zone;
    let look = desk.look_at_log(v.actor(), &id, &mut file, zone, layout.ok());
    let look = look.await?;
    if wrong.is_some() || typed.get("do") != "keep" || !look.faults.is_empty() {
        let typed = wrong.map(|faults| (typed, faults));
        return to_look_over(&v, &id, file, &look, typed).await;
    }
    match desk
        .bring_log_as(v.actor(), &id, &mut file, zone, &look)
        .await
    {
        Ok(brought) => {
            desk.keep_log_layout(v.actor(), &id, &look.layout).await?;
            done(&v, &id, &look, &brought).await
        }
        Err(DeskError::Faults(_)) => to_look_over(&v, &id, file, &look, None).await,
        Err(e) => Err(e.into()),
    }
}

/// The page on which a log is looked over. Nothing of it is kept yet.
async fn to_look_over(
    v: &Visit,
    id: &str,
    file: File,
    look: &LogLook,
    typed: Option<(Typed, Vec<glost_model::fault::Fault>)>,
) -> Result<Response, Trouble> {
    let key = glost_store::new_secret().map_err(DeskError::from)?;
    let held = &v.app.held;
    held.put(v.now, &key, &v.person().id, id, file);
    let firing = v.app.desk.firing(id).await?.body;
    let (typed, faults) =
        typed.unwrap_or_else(|| (in_units(v, Typed(form::proposed(&look.layout))), Vec::new()));
    let f = Fields {
        typed: &typed,
        faults: &faults,
    };
    let readable = look.faults.is_empty() && faults.is_empty() && look.rows > 0;
    let body = html! {
        (f.summary())
        p.lead { "Nothing of this log is kept yet. Look whether it is understood." }
        @if !look.faults.is_empty() { section.panel role="alert" {
            h2 { "What cannot be read" }
            ul { @for fault in &look.faults { li { (fault.what) ". " (fault.remedy) "." } } }
        } }
        @else if look.rows == 0 { p.warn role="alert" { "There is no reading in it. Look whether it is the log of this firing, as a table in CSV, and what its columns are." } }
        (understood(look))
        @if !look.ends.is_empty() {
            h2 { "Its first and last readings, as they are understood" }
            (samples(v, &look.ends))
            p { (look.rows) " rows can be read." }
        }
        form method="post" action={ "/firings/" (id) "/watch/log/read" } {
            (hidden("log", &key))
            @if readable { div.steps { button.main type="submit" name="do" value="keep" { "It is right: bring it in" } } }
            details open[!readable] { summary { "Put right how it is read" }
                (forms::layout(v, f))
                div.steps { button type="submit" name="do" value="look" { "Look at it again" } }
            }
        }
        p.hint { "How it is read is kept for " (firing.kiln) ": the next log with these titles is read so." }
        p.steps { a.step href={ "/firings/" (id) "/watch" } { "Leave it" } }
    };
    let heading = title(&firing);
    Ok(if readable {
        v.page(Here::Firings, &heading, &body)
    } else {
        v.again(Here::Firings, &heading, &body)
    })
}

fn understood(look: &LogLook) -> Markup {
    html! {
        h2 { "How the file is understood" }
        ul { @for words in &look.understood { li { (words) } } }
        @if !look.doubts.is_empty() { h2 { "Look at these" } ul { @for d in &look.doubts { li { (d) } } } }
    }
}

async fn done(v: &Visit, id: &str, look: &LogLook, brought: &Brought) -> Result<Response, Trouble> {
    let firing = v.app.desk.firing(id).await?.body;
    let body = html! {
        p.lead { (brought.new) " readings are new, " (brought.read - brought.new) " were there already." }
        @if look.known { p { "Its titles are those of the logs of " (firing.kiln) ", so it was read as they are." } }
        (understood(look))
        p.steps { a.step.main href={ "/firings/" (id) "/watch" } { "To the firing" } }
    };
    Ok(v.page(Here::Firings, &title(&firing), &body))
}
