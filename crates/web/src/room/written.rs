//! A firing that was not planned here is written down.

use axum::response::Response;
use glost_model::book::{Act, Purpose};
use glost_model::cone::Cone;
use glost_model::fault::Fault;
use glost_model::load::FiringKind;
use glost_model::{Energy, Temperature};
use glost_studio::desk::DeskError;
use glost_studio::desk::written::Written;
use glost_studio::programme::read;
use maud::{Markup, html};

use super::fire_day::{hottest, meter};
use super::firings::moment;
use super::read_back::{how, rows, typed_rows};
use crate::app::fields::{Fields, Look};
use crate::app::{Form, Here, Trouble, Typed, Visit};

const TITLE: &str = "Write a firing down";
/// Segments that the form has room for.
const ROWS: usize = 8;
/// What it was for.
const KINDS: [(&str, &str); 4] = [
    ("bisque", "bisque"),
    ("glaze", "glaze"),
    ("test", "a test"),
    ("elements", "first firing of new elements"),
];
const LOADS: [(&str, &str); 2] = [
    ("empty", "nothing, no shelf either"),
    ("loaded", "ware or shelves"),
];

/// The form.
pub async fn show(v: Visit) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let mut typed = Typed::default();
    let first = v.given.studio.kilns.first();
    typed.set("kiln", first.map_or("", |k| k.name.as_str()));
    let body = page(&v, &typed, &[]);
    Ok(v.page(Here::Firings, TITLE, &body))
}

fn page(v: &Visit, typed: &Typed, faults: &[Fault]) -> Markup {
    let f = Fields { typed, faults };
    let name = |k: &glost_model::kiln::Kiln| (k.name.clone(), k.name.clone());
    let kilns: Vec<(String, String)> = v.given.studio.kilns.iter().map(name).collect();
    let time = Look {
        kind: "datetime-local",
        ..Look::default()
    };
    let number = |unit, hint| Look {
        keys: "decimal",
        unit,
        hint,
        optional: true,
        ..Look::default()
    };
    let row = |i: usize| ["rate", "target", "hold"].map(|n| format!("{n}.{i}"));
    let about = |i: usize| {
        let names = row(i);
        let faulty = faults.iter().any(|x| names.contains(&x.field));
        faulty || names.iter().any(|n| !typed.get(n).is_empty())
    };
    html! {
        p { "For a firing of the past, the first firing of new elements, a test, or one that was loaded and fired without a plan. It counts for the kiln's upkeep and stands in the log; the file of its logger can be brought in afterwards." }
        (f.summary())
        form method="post" action="/firings/written" {
            (f.select("kiln", "Kiln", "", &kilns))
            (f.choice("kind", "What was it for?", &KINDS))
            (f.text("cone", "Cone", Look { hint: "With its zero: 06 and 6 are very different", ..Look::default() }))
            (f.choice("load", "What stood in the kiln?", &LOADS))
            (f.text("started", "When it was started", time))
            (f.text("ended", "When it ended", Look { hint: "Leave it empty while it is on", optional: true, ..time }))
            (f.text("hottest", "Hottest on the display", number(v.shown().degree_sign(), "")))
            (f.text("used", "What it used", number("kWh", "By the meter")))
            details open[(0..ROWS).any(about)] { summary { "Its programme" }
                p { "Of an empty kiln the programme tells enough to foresee it, to watch it, and to learn from its log." }
                (how())
                (rows(f, v.shown(), ROWS))
            }
            (f.lines("words", "Anything to know", "How it went, what stood in it"))
            div.steps { button.main type="submit" { "Write it down" } }
        }
    }
}

fn written(v: &Visit, typed: &Typed) -> Result<Written, DeskError> {
    let cone = Cone::parse(typed.get("cone"))
        .map_err(|e| DeskError::field("cone", e.to_string(), "Write it with its zero, as 06 or 6"));
    let chosen = |field: &str, all: &[(&str, &str)]| {
        let of = all.iter().any(|a| a.0 == typed.get(field));
        of.then_some(())
            .ok_or_else(|| DeskError::field(field, "nothing is chosen", "Choose one"))
    };
    let (kind, load) = (chosen("kind", &KINDS), chosen("load", &LOADS));
    let started = moment(v, typed, "started").and_then(|at| {
        at.ok_or_else(|| DeskError::field("started", "is empty", "Write day and time"))
    });
    let ended = moment(v, typed, "ended");
    let hottest = hottest(v, typed);
    let used = meter(typed, "used");
    let segments = read(&typed_rows(typed), v.shown());
    match (cone, kind, load, started, ended, hottest, used, segments) {
        (
            Ok(cone),
            Ok(()),
            Ok(()),
            Ok(started),
            Ok(ended),
            Ok(hottest_c),
            Ok(used),
            Ok(segments),
        ) => Ok(Written {
            kiln: typed.get("kiln").to_owned(),
            cone,
            kind: match typed.get("kind") {
                "glaze" | "test" => FiringKind::Glaze,
                _ => FiringKind::Bisque,
            },
            purpose: Purpose::of_key(typed.get("kind")).unwrap_or_default(),
            empty: typed.get("load") == "empty",
            segments,
            started,
            ended,
            hottest: hottest_c.map(Temperature::c),
            used: used.filter(|e| *e > Energy::ZERO),
            notes: typed.get("words").to_owned(),
        }),
        (cone, kind, load, started, ended, hottest, used, segments) => Err(DeskError::all_of([
            kind,
            cone.map(drop),
            load,
            started.map(drop),
            ended.map(drop),
            hottest.map(drop),
            used.map(drop),
            segments.map(drop),
        ])),
    }
}

/// Writes it down.
pub async fn send(v: Visit, Form(sent): Form<Vec<(String, String)>>) -> Result<Response, Trouble> {
    v.must(Act::Fire)?;
    let typed = Typed(sent);
    let done = match written(&v, &typed) {
        Ok(new) => v.app.desk.write_down(v.actor(), &new).await,
        Err(e) => Err(e),
    };
    match done {
        Ok((firing, turn)) => Ok(v.done(&format!("/firings/{}", firing.id), turn)),
        Err(DeskError::Faults(faults)) => {
            let body = page(&v, &typed, &faults);
            Ok(v.again(Here::Firings, TITLE, &body))
        }
        Err(e) => Err(e.into()),
    }
}
