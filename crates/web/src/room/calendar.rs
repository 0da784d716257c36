//! Firings as a calendar that programs subscribe to.

use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::Response;
use glost_model::Span;
use glost_model::book::{Act, Firing, FiringState};
use glost_model::plan_file::PlanFile;
use glost_sheets::{CalendarEvent, CalendarFeed, calendar_ics};
use glost_store::{Kept, PassUse};
use jiff::Timestamp;
use maud::html;

use super::firing::later;
use super::plan_pages::file;
use crate::app::fields::to_copy;
use crate::app::{App, Here, Links, Path, Trouble, Visit};

/// Most firings in a feed.
const MOST: u32 = 40;

/// A link of one's own, shown once.
pub async fn link(v: Visit, headers: HeaderMap) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let secret = v
        .app
        .desk
        .new_token(PassUse::Calendar, v.person(), "calendar", v.now)
        .await?;
    let links = Links::of(&v, &headers);
    let body = html! {
        (links.warning())
        p { "Subscribe to this address in your calendar. Whoever has it sees the firings, so keep it to yourself. It is shown only now, and can be withdrawn under " a href="/me/tokens" { "Tokens and calendar links" } "." }
        (to_copy("address", "Address of the calendar", 3, &links.to(&format!("/calendar/{secret}.ics"))))
        p.steps { a.step href="/me" { "Back" } }
    };
    Ok(v.page(Here::Me, "Calendar of firings", &body))
}

/// The feed.
pub async fn feed(State(app): State<App>, Path(name): Path<String>) -> Result<Response, Trouble> {
    let secret = name.strip_suffix(".ics").ok_or(Trouble::Missing)?;
    let now = app.now();
    let who = app
        .desk
        .who_by(PassUse::Calendar, secret, now)
        .await?
        .ok_or(Trouble::Missing)?;
    if !who.person.role.may(Act::Plan) {
        return Err(Trouble::Missing);
    }
    let given = app.desk.given().await?;
    let states: Vec<&str> = FiringState::ALL
        .iter()
        .filter(|s| **s != FiringState::Draft)
        .map(|s| s.key())
        .collect();
    let firings = app.desk.firings(&states, None, 0, MOST).await?;
    let mut events = Vec::new();
    for kept in &firings {
        let Some(start) = kept.body.started.or(kept.body.starts) else {
            continue;
        };
        let plan = app.desk.plan(&kept.body.id).await?.map(|mut p| {
            p.studio.shown = who.person.shown.unwrap_or(given.studio.shown);
            p
        });
        events.extend(of_firing(kept, start, plan.as_ref()));
    }
    let ics = calendar_ics(&CalendarFeed {
        name: format!("Firings, {}", given.studio.name),
        stamp: now,
        refresh: Some(Span::minutes(30.0)),
        events,
    });
    Ok(file(
        "text/calendar; charset=utf-8",
        "firings.ics",
        ics.into_bytes(),
    ))
}

/// Start, steps by hand, the end, and the opening of a firing.
fn of_firing(kept: &Kept<Firing>, start: Timestamp, plan: Option<&PlanFile>) -> Vec<CalendarEvent> {
    let f = &kept.body;
    let event =
        |what: &str, at: Timestamp, ends: Timestamp, title: String, words: &str, alarms: &[u32]| {
            CalendarEvent {
                uid: format!("firing-{}-{what}@glost.invalid", f.id),
                starts: at,
                ends,
                title,
                words: words.to_owned(),
                place: format!("Kiln {}", f.kiln),
                alarms: alarms.to_vec(),
                sequence: u32::try_from(kept.version).unwrap_or(0),
                last_modified: kept.changed,
                cancelled: f.state == FiringState::CalledOff,
            }
        };
    let name = format!(
        "{} cone {} ({}), firing {}",
        f.kiln,
        f.cone,
        f.cone.range_name(),
        f.id
    );
    let mut out = vec![event(
        "start",
        start,
        later(start, Span::minutes(30.0)),
        format!("Start {name}"),
        "Somebody is there for the first half hour. Read the programme back before.",
        &[30],
    )];
    let Some((firing, forecast)) =
        plan.and_then(|p| Some((p.firing.as_ref()?, p.forecast.as_ref()?)))
    else {
        return out;
    };
    let shown = plan.map(|p| p.studio.shown).unwrap_or_default();
    for (i, step) in firing.hand_steps.iter().enumerate() {
        if let Some(t) = forecast.due(step).filter(|_| !step.at_start()) {
            let at = later(start, t);
            out.push(event(
                &format!("step-{i}"),
                at,
                at,
                format!("{}: {}", f.kiln, step.step),
                &format!("{}. By the forecast; the display counts.", step.when(shown)),
                &[10],
            ));
        }
    }
    if let Some(t) = forecast.peak_over(firing) {
        let at = later(start, t);
        out.push(event(
            "end",
            later(at, Span::h(-1.0)),
            later(at, Span::minutes(30.0)),
            format!("Be there: end of {name}"),
            "Relays and controllers stick: see it switch off, look at the cones.",
            &[30],
        ));
    }
    if let Some(t) = forecast.may_open().and_then(|c| c.time_s) {
        let at = later(start, t);
        out.push(event(
            "open",
            at,
            later(at, Span::h(1.0)),
            format!("May be opened: {name}"),
            "By the forecast; below the temperature on the load sheet only.",
            &[0],
        ));
    }
    out
}
