//! A firing as it goes: what was read, where the kiln is, what to do next.

use std::convert::Infallible;

use axum::response::sse::{Event, KeepAlive, Sse};
use axum::response::{IntoResponse, Redirect, Response};
use glost_model::book::{Act, Firing, FiringState};
use glost_model::doubt::{Band, TimeBand};
use glost_model::fault::Fault;
use glost_model::shown::{Shown, hours};
use glost_model::{Span, Temperature};
use glost_sheets::{CAUTIONS, beside};
use glost_studio::desk::DeskError;
use glost_studio::follow::{Alarm, Estimate, Place, Seen, Stage};
use jiff::civil::DateTime;
use maud::{Markup, html};
use tokio_stream::StreamExt as _;
use tokio_stream::wrappers::WatchStream;

use super::firing::{later, title};
use super::{curves, heard};
use crate::app::fields::{Fields, Look};
use crate::app::{Form, Here, Path, Trouble, Typed, Visit};
use crate::page::cautions::list;
use crate::page::wide;

/// The page.
pub async fn show(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    let body = page(&v, &id, &Typed::default(), &[]).await?;
    let firing = v.app.desk.firing(&id).await?.body;
    Ok(v.page(Here::Firings, &title(&firing), &body))
}

pub(super) async fn page(
    v: &Visit,
    id: &str,
    typed: &Typed,
    faults: &[Fault],
) -> Result<Markup, DeskError> {
    v.must(Act::Plan)?;
    let firing = v.app.desk.firing(id).await?.body;
    let live = matches!(firing.state, FiringState::Firing | FiringState::Cooling);
    let at = format!("/firings/{id}");
    let f = Fields { typed, faults };
    let now = if live {
        // What is known this instant; more comes by itself.
        let seen = v.app.follow.firing(id).borrow().clone();
        known(v, &firing, &seen).await?
    } else {
        html! {
            p.empty { "This firing is " (firing.state.words()) "." }
            (curves::one(v, &firing, None).await?)
            (super::readings::left_out(v, &firing.id).await?)
        }
    };
    Ok(html! {
        (f.summary())
        div #watch-now data-events=[live.then(|| format!("{at}/watch/events"))] { (now) }
        @if live {
            p #watch-lost.warn role="status" hidden { "The page no longer hears from Glost. What stands above may be old. Read the display." }
            script type="module" src="/asset/watch.js" {}
        }
        p.steps { a.step href=(at) { "The firing, its steps and its end" } a.step href=(format!("{at}/watch")) { "Look again" } @if firing.started.is_some() { a.step href=(format!("{at}/readings")) { "Its readings, and which are not to be believed" } } }
        @if live && v.may(Act::Fire) {
            h2 { "Write down what the display shows" }
            form method="post" action={ (at) "/watch/reading" } {
                (f.text("reading", "The display shows", Look { keys: "decimal", unit: v.shown().degree_sign(), ..Look::default() }))
                (f.text("at", "When, if not now", Look { kind: "datetime-local", optional: true, ..Look::default() }))
                div.steps { button.main type="submit" { "Write it down" } }
            }
        }
        @if firing.started.is_some() && v.may(Act::Fire) {
            h2 { "Bring in a log" }
            p { "A file of the logger or controller, as a table in CSV. Glost works out what its columns are; you look it over before anything is kept. The next log of this kiln with the same titles is read so at once." }
            form method="post" action={ (at) "/watch/log" } enctype="multipart/form-data" {
                div.field { label for="f-log" { "The log" } input #f-log type="file" name="log" accept=".csv,.txt,text/csv,text/plain"; }
                div.steps {
                    button type="submit" { "Bring it in" }
                    button type="submit" formaction={ (at) "/watch/log?look=yes" } { "Look it over first" }
                }
            }
        }
        h2 { "Mind" }
        (list(CAUTIONS.end))
        (list(CAUTIONS.fire))
        p { "A lost signal is not 'off'. What stands here is worked out from a sensor and a model; the cones and the display decide." }
    })
}

/// What is known, as events of the server.
pub async fn events(v: Visit, Path(id): Path<String>) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let firing = v.app.desk.firing(&id).await?.body;
    let seen = WatchStream::new(v.app.follow.firing(&id));
    let closing = v.app.closing.subscribe();
    let v = std::sync::Arc::new(v);
    let told = seen.then(move |seen| {
        let (v, firing) = (std::sync::Arc::clone(&v), firing.clone());
        async move {
            let html = known(&v, &firing, &seen)
                .await
                .map(maud::PreEscaped::into_string);
            let html = html.unwrap_or_else(|e| html! { p.warn { (e) } }.into_string());
            let told = serde_json::json!({ "html": html, "over": seen.over });
            Ok::<_, Infallible>(Event::default().data(told.to_string()))
        }
    });
    // It ends when nothing more will come, or the program is told to stop.
    let stop = WatchStream::from_changes(closing).map(|_| None);
    let told = told.map(Some).chain(tokio_stream::once(None));
    let told = told.merge(stop).map_while(|t| t);
    Ok(Sse::new(told)
        .keep_alive(KeepAlive::default())
        .into_response())
}

/// Writes down a reading of the display.
pub async fn reading(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let done = match read(&v, &typed) {
        Ok((at, read)) => v.app.desk.read_by_hand(v.actor(), &id, at, read).await,
        Err(e) => Err(e),
    };
    match done {
        Ok(_) => Ok(Redirect::to(&format!("/firings/{id}/watch")).into_response()),
        Err(DeskError::Faults(faults)) => {
            let firing = v.app.desk.firing(&id).await?.body;
            let body = page(&v, &id, &typed, &faults).await?;
            Ok(v.again(Here::Firings, &title(&firing), &body))
        }
        Err(e) => Err(e.into()),
    }
}

fn read(v: &Visit, typed: &Typed) -> Result<(jiff::Timestamp, Temperature), DeskError> {
    let at = match typed.get("at").trim() {
        "" => v.now,
        text => text
            .parse::<DateTime>()
            .ok()
            .and_then(|at| at.to_zoned_datetime(v.zone.clone()).ok())
            .map(|z| z.timestamp())
            .ok_or_else(|| DeskError::field("at", "is no time", "Choose day and time"))?,
    };
    let sample = glost_studio::follow::typed(typed.get("reading"), v.shown(), at)
        .map_err(|fault| DeskError::Faults(vec![fault]))?;
    let read = sample.sensor.ok_or_else(|| {
        DeskError::field(
            "reading",
            "nothing was written",
            "Write what the display shows",
        )
    })?;
    Ok((at, read))
}

/// All that is known just now.
async fn known(v: &Visit, firing: &Firing, seen: &Seen) -> Result<Markup, DeskError> {
    let Some(e) = seen.estimate.as_deref() else {
        return Ok(html! {
            @if let Some(why) = &seen.trouble { p.warn { (why) } }
            (heard::trouble(v, &firing.id))
            p.lead { "Nothing was read yet." }
            (heard::source(v, &firing.id))
            p { "Write down what the display shows now and then, or bring in a log. A kiln that writes or sends a log of its own is set up on its page, under " strong { "Where its readings come from" } "." }
        });
    };
    let shown = v.shown();
    let curve = curves::one(v, firing, Some(e)).await?;
    let left_out = super::readings::left_out(v, &firing.id).await?;
    Ok(html! {
        @if let Some(why) = &seen.trouble { p.warn { (why) } }
        (heard::trouble(v, &firing.id))
        @if !e.alarms.is_empty() { section.calls role="alert" aria-label="Alarms" { @for a in &e.alarms { (alarm(v, a)) } (list(CAUTIONS.fire)) } }
        p.lead {
            @if let Some(t) = e.sensor_told { strong { (shown.temperature(t)) } ", " }
            (stage(e)) ". Read " (v.when(e.at)) "."
        }
        @if let Some(a) = &e.advice { p.note role="status" { strong { (a.words) } } }
        (tiers(e, shown))
        ul.facts-line {
            @if !matches!(e.stage, Stage::Cooling | Stage::MayBeOpened) { li { "The programme ends " strong { (times(v, e, &e.ends_in)) } } }
            li { "May be opened, below " (shown.temperature(e.open_below)) ": " strong { (times(v, e, &e.may_open_in)) } }
            li { "Energy so far " strong { (kwh(&e.energy_so_far)) } ", still " (kwh(&e.energy_left)) }
            li { "It works at " strong { (percent(&e.power_share)) } " of its power" }
            li { "Its full power is " strong { (percent(&e.power_of_kiln)) } " of what its description tells" }
        }
        (curve)
        (left_out)
        @if !seen.past.is_empty() { details { summary { "Alarms that are past" } ul { @for a in &seen.past { li { (a.kind.rule().title) ", since " (v.when(a.since)) ": " (a.words) } } } } }
        p.hint { "Bands: in eight of ten kilns like this one, by what the log has told of it so far. From " (seen.samples) " readings." }
        (heard::source(v, &firing.id))
    })
}

fn stage(e: &Estimate) -> String {
    match e.stage {
        Stage::Climbing { segment } => format!("climbing, segment {}", segment + 1),
        Stage::Holding { segment, left } => {
            format!("holding, segment {}, {} left", segment + 1, hours(left))
        }
        Stage::Falling { segment } => format!("falling under power, segment {}", segment + 1),
        Stage::MayBeOpened => "cool enough to open".to_owned(),
        other => other.word().to_owned(),
    }
}

fn tiers(e: &Estimate, shown: Shown) -> Markup {
    let mark = |i: usize| match i {
        i if i == e.coldest && i == e.hottest => "",
        i if i == e.coldest => "coldest",
        i if i == e.hottest => "hottest",
        _ => "",
    };
    wide(
        "Tiers",
        html! { table.rowed {
            thead { tr { th scope="col" { "Tiers" } th scope="col" { "Ware" } th scope="col" { "Cone so far" } th scope="col" { "Cone at the end" } th scope="col" { "Beside cone " (e.cone) } } }
            tbody { @for (i, t) in e.tiers.iter().enumerate().rev() { tr {
                th scope="row" { span.label { "Tiers " } (t.tiers) @if !mark(i).is_empty() { " " span.small { (mark(i)) } } }
                td data-label="Ware" { (within([t.ware.low, t.ware.middle, t.ware.high].map(|t| shown.temperature(t)))) }
                td data-label="Cone so far" { (within([t.cone.low, t.cone.middle, t.cone.high].map(cone))) }
                td data-label="Cone at the end" { (within([t.cone_foreseen.low, t.cone_foreseen.middle, t.cone_foreseen.high].map(cone))) }
                td data-label={ "Beside cone " (e.cone) } { (beside(t.cone_foreseen.middle, e.cone)) }
            } } }
        } },
    )
}

/// The middle of a band with its ends, where these say something else.
fn within([low, middle, high]: [String; 3]) -> Markup {
    html! { (middle) @if low != high { span.small { (low) " to " (high) } } }
}

fn cone(position: f64) -> String {
    let place = if position < -21.05 {
        Place::Below
    } else {
        Place::At(position)
    };
    place.to_string()
}

fn alarm(v: &Visit, a: &Alarm) -> Markup {
    html! { div.call.urgent { div {
        p { strong { "Alarm: " (a.kind.rule().title) ". " } (a.words) span.small { "Shows since " (v.when(a.since)) "; " (format!("{:.0} %", a.how_sure * 100.0)) " sure." } }
        p { "Look at: " }
        ol { @for look in a.look_at { li { (look) } } }
        p { strong { (a.remedy) } }
    } } }
}

fn times(v: &Visit, e: &Estimate, band: &TimeBand) -> String {
    let at = |s: Span| v.when(later(e.at, s));
    match (band.low, band.middle, band.high) {
        (_, None, _) => "not within what is foreseen".to_owned(),
        (Some(low), Some(middle), Some(high)) if at(low) == at(high) => {
            format!("in {}, {}", hours(middle), at(middle))
        }
        (Some(low), Some(middle), Some(high)) => format!(
            "in {}, {} (between {} and {})",
            hours(middle),
            at(middle),
            at(low),
            at(high)
        ),
        (_, Some(middle), _) => format!("in {}, {}", hours(middle), at(middle)),
    }
}

fn kwh(band: &Band<glost_model::Energy>) -> String {
    format!(
        "{:.0} kWh ({:.0} to {:.0})",
        band.middle.to_kwh(),
        band.low.to_kwh(),
        band.high.to_kwh()
    )
}

fn percent(band: &Band<f64>) -> String {
    format!(
        "{:.0} % ({:.0} to {:.0})",
        band.middle * 100.0,
        // No kiln works at less than none of its power, whatever a model draws.
        band.low.max(0.0) * 100.0,
        band.high * 100.0
    )
}
