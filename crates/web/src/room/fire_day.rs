//! What is written down on the day of a firing.

use std::collections::BTreeMap;

use axum::response::{IntoResponse, Redirect, Response};
use glost_model::book::{Act, Firing, Note};
use glost_model::fault::Fault;
use glost_model::{Energy, Temperature};
use glost_sheets::step_letter;
use glost_studio::desk::DeskError;

use super::firing::{page, plan_of, title};
use super::firings::starts;
use crate::app::{Form, Here, Path, Side, Trouble, Typed, Visit, clash};

type Sent = Form<Vec<(String, String)>>;

/// Back to the firing, or its page again with what is wrong.
pub async fn answer(
    v: &Visit,
    id: &str,
    typed: &Typed,
    done: Result<i64, DeskError>,
) -> Result<Response, Trouble> {
    match done {
        Ok(turn) => Ok(v.done(&format!("/firings/{id}"), turn)),
        Err(DeskError::Faults(faults)) => {
            let kept = v.app.desk.firing(id).await?;
            let body = page(v, &kept, typed, &faults).await?;
            Ok(v.again(Here::Firings, &title(&kept.body), &body))
        }
        Err(e) => {
            let names = v.app.desk.names().await?;
            let clash = clash(v, e, typed, |f: &Firing| side(f, &names)).await?;
            let kept = v.app.desk.firing(id).await?;
            let body = page(v, &kept, &clash.typed, &[]).await?;
            Ok(v.clashed(Here::Firings, &title(&kept.body), &clash, &body))
        }
    }
}

/// What is written down of a firing, told to those who write at once.
fn side(f: &Firing, names: &BTreeMap<String, String>) -> Side {
    let who = |id: &str| names.get(id).map_or("somebody", String::as_str).to_owned();
    let said = |n: &Note| format!("{}: {}", who(&n.who), n.words);
    let notes: Vec<String> = f.notes.iter().map(said).collect();
    let steps: Vec<String> = f.done_steps.iter().map(|(s, _)| step_letter(*s)).collect();
    let cones = f
        .cones
        .iter()
        .map(|c| format!("tier {}, cone {}: {} o'clock", c.tier, c.cone, c.clock));
    let besides = vec![
        ("state", f.state.words().to_owned()),
        ("notes", notes.join("; ")),
        ("steps done by hand", steps.join(", ")),
        (
            "programme read back",
            f.read_back.as_ref().map(said).unwrap_or_default(),
        ),
        ("cones", cones.collect::<Vec<_>>().join("; ")),
        ("pieces", f.summary.pieces.to_string()),
    ];
    Side {
        besides,
        ..Side::default()
    }
}

/// Accepts a draft.
pub async fn accept(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    v.must(Act::Accept)?;
    let typed = Typed(sent);
    let done = match starts(&v, &typed) {
        Ok(at) => v.app.desk.accept(v.actor(), &id, typed.version(), at).await,
        Err(e) => Err(e),
    };
    answer(&v, &id, &typed, done).await
}

/// Calls it off.
pub async fn call_off(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    v.must(Act::Plan)?;
    let typed = Typed(sent);
    v.app.jobs.stop(&id);
    let done = v
        .app
        .desk
        .call_off(v.actor(), &id, typed.version(), typed.get("why"))
        .await;
    answer(&v, &id, &typed, done).await
}

/// Begins to load.
pub async fn begin(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let turn = v
        .app
        .desk
        .begin_loading(v.actor(), &id, Typed(sent).version())
        .await;
    match turn {
        Ok(_) => Ok(Redirect::to(&format!("/firings/{id}/at-kiln")).into_response()),
        Err(e) => Err(e.into()),
    }
}

/// A second look at the programme. What was read off the display must be what was planned.
pub async fn read_back(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let plan = plan_of(&v, &id).await?;
    let mut faults = Vec::new();
    if let Some(firing) = plan
        .as_ref()
        .and_then(|p| p.firing.as_ref())
        .filter(|_| typed.get("differs").trim().is_empty())
    {
        let mut must = |field: &str, planned: f64, slack: f64, words: String| {
            let read: Option<f64> = number(typed.get(field));
            if read.is_none_or(|r| (r - planned).abs() > slack) {
                faults.push(Fault {
                    file: String::new(),
                    line: None,
                    field: field.to_owned(),
                    what: read.map_or_else(|| "nothing was read off the display".to_owned(), |r| format!("the display shows {r}; planned is {words}")),
                    remedy: "Set the controller right and read it again, or write what differs on purpose".to_owned(),
                });
            }
        };
        let hottest = firing
            .segments
            .iter()
            .map(|s| v.shown().degrees(s.target))
            .fold(f64::NEG_INFINITY, f64::max);
        must(
            "peak",
            hottest,
            1.0,
            format!("{hottest:.0} {}", v.shown().degree_sign()),
        );
        must(
            "count",
            firing.segments.len() as f64,
            0.1,
            format!("{} segments", firing.segments.len()),
        );
    }
    let done = if faults.is_empty() {
        v.app
            .desk
            .read_back(v.actor(), &id, typed.version(), typed.get("differs"))
            .await
    } else {
        let desk = &v.app.desk;
        let kept = desk.firing(&id).await?;
        if kept.body.read_back.is_some() {
            // Who looked last counts: an earlier yes must not start the kiln.
            desk.read_otherwise(v.actor(), &id, kept.version).await?;
        }
        Err(DeskError::Faults(faults))
    };
    answer(&v, &id, &typed, done).await
}

/// The kiln is on.
pub async fn start(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let done = match meter(&typed) {
        Ok(meter) => {
            v.app
                .desk
                .start(
                    v.actor(),
                    &id,
                    typed.version(),
                    meter,
                    typed.all("may_stop"),
                    typed.get("loaded") == "yes",
                )
                .await
        }
        Err(e) => Err(e),
    };
    answer(&v, &id, &typed, done).await
}

/// A step by hand is done.
pub async fn step(v: Visit, Path(id): Path<String>, Form(sent): Sent) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let step = typed.get("step").parse().map_err(|_no_number| {
        DeskError::cannot("there is no such step", "Use the buttons of the page")
    })?;
    let done = v
        .app
        .desk
        .step_done(v.actor(), &id, typed.version(), step)
        .await;
    answer(&v, &id, &typed, done).await
}

/// A note.
pub async fn note(v: Visit, Path(id): Path<String>, Form(sent): Sent) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let done = v
        .app
        .desk
        .add_note(v.actor(), &id, typed.version(), typed.get("words"))
        .await;
    answer(&v, &id, &typed, done).await
}

/// The kiln is off.
pub async fn end(v: Visit, Path(id): Path<String>, Form(sent): Sent) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let hottest = match typed.get("hottest").trim() {
        "" => Ok(None),
        text => number(text)
            .map(|n| {
                if v.shown().fahrenheit {
                    Temperature::f(n)
                } else {
                    Temperature::c(n)
                }
            })
            .filter(|t| t.to_c() > -30.0 && t.to_c() < 1500.0)
            .map(|t| Some(t.to_c()))
            .ok_or_else(|| {
                DeskError::field(
                    "hottest",
                    format!("'{text}' is no temperature of a kiln"),
                    "Write the number on the display",
                )
            }),
    };
    let done = match (meter(&typed), hottest) {
        (Ok(meter), Ok(hottest)) => {
            v.app
                .desk
                .end(
                    v.actor(),
                    &id,
                    typed.version(),
                    meter,
                    hottest,
                    typed.get("why"),
                )
                .await
        }
        (Err(e), _) | (_, Err(e)) => Err(e),
    };
    answer(&v, &id, &typed, done).await
}

/// The kiln is open.
pub async fn open(v: Visit, Path(id): Path<String>, Form(sent): Sent) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let display = match typed.get("display").trim() {
        "" => Ok(None),
        text => glost_studio::follow::typed(text, v.shown(), v.now)
            .map(|s| s.sensor)
            .map_err(|fault| DeskError::field("display", fault.what, fault.remedy)),
    };
    let done = match display {
        Ok(display) => {
            let (at, why) = (typed.version(), typed.get("why"));
            v.app.desk.opened(v.actor(), &id, at, display, why).await
        }
        Err(e) => Err(e),
    };
    answer(&v, &id, &typed, done).await
}

/// No meter of a studio shows more kilowatt hours.
const MOST_METER: f64 = 1e9;

/// A meter as typed, in kWh.
fn meter(typed: &Typed) -> Result<Option<Energy>, DeskError> {
    match typed.get("meter").trim() {
        "" => Ok(None),
        text => number(text)
            .filter(|n| (0.0..=MOST_METER).contains(n))
            .map(|n| Some(Energy::kwh(n)))
            .ok_or_else(|| {
                DeskError::field(
                    "meter",
                    format!("'{text}' is no meter reading"),
                    "Write the kilowatt hours that it shows",
                )
            }),
    }
}

/// A number with a point or a comma.
pub fn number(text: &str) -> Option<f64> {
    text.trim()
        .replace(',', ".")
        .parse()
        .ok()
        .filter(|n: &f64| n.is_finite())
}
