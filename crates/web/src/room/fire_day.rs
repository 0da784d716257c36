//! What is written down on the day of a firing.

use std::collections::BTreeMap;

use axum::response::{IntoResponse, Redirect, Response};
use glost_model::book::{Act, Firing, Note};
use glost_model::{Energy, Temperature};
use glost_sheets::step_letter;
use glost_studio::desk::{DeskError, End, Start};

use super::firing::{page, title};
use super::firings::{moment, starts};
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

/// The kiln is on.
pub async fn start(
    v: Visit,
    Path(id): Path<String>,
    Form(sent): Sent,
) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let done = match start_of(&v, &typed) {
        Ok(start) => {
            let desk = &v.app.desk;
            desk.start(v.actor(), &id, typed.version(), start).await
        }
        Err(e) => Err(e),
    };
    answer(&v, &id, &typed, done).await
}

fn start_of(v: &Visit, typed: &Typed) -> Result<Start, DeskError> {
    let (meter, at, begins) = (
        meter(typed, "meter"),
        moment(v, typed, "at"),
        moment(v, typed, "begins"),
    );
    match (meter, at, begins) {
        (Ok(meter), Ok(at), Ok(begins)) => Ok(Start {
            meter,
            may_stop: typed.all("may_stop"),
            looked: typed.get("loaded") == "yes",
            at,
            begins,
        }),
        (meter, at, begins) => Err(DeskError::all_of([
            meter.map(drop),
            at.map(drop),
            begins.map(drop),
        ])),
    }
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
    let done = match (
        meter(&typed, "meter"),
        hottest(&v, &typed),
        moment(&v, &typed, "at"),
    ) {
        (Ok(meter), Ok(hottest_c), Ok(at)) => {
            let end = End {
                meter,
                hottest_c,
                why: typed.get("why"),
                at,
            };
            let desk = &v.app.desk;
            desk.end(v.actor(), &id, typed.version(), end).await
        }
        (meter, hottest, at) => Err(DeskError::all_of([
            meter.map(drop),
            hottest.map(drop),
            at.map(drop),
        ])),
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
    let done = match (display, moment(&v, &typed, "at")) {
        (Ok(display), Ok(at)) => {
            let (version, why) = (typed.version(), typed.get("why"));
            let desk = &v.app.desk;
            desk.opened(v.actor(), &id, version, display, why, at).await
        }
        (display, at) => Err(DeskError::all_of([display.map(drop), at.map(drop)])),
    };
    answer(&v, &id, &typed, done).await
}

/// No meter of a studio shows more kilowatt hours.
const MOST_METER: f64 = 1e9;

/// The hottest that the display showed, as typed, °C.
pub fn hottest(v: &Visit, typed: &Typed) -> Result<Option<f64>, DeskError> {
    match typed.get("hottest").trim() {
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
    }
}

/// A meter as typed, in kWh.
pub fn meter(typed: &Typed, field: &str) -> Result<Option<Energy>, DeskError> {
    match typed.get(field).trim() {
        "" => Ok(None),
        text => number(text)
            .filter(|n| (0.0..=MOST_METER).contains(n))
            .map(|n| Some(Energy::kwh(n)))
            .ok_or_else(|| {
                DeskError::field(
                    field,
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
