//! A kiln drawn from the numbers of its form, also while they are being typed. Nothing is stored.

use axum::Json;
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Response};
use glost_model::book::{Act, Stock};
use glost_model::fault::Fault;
use glost_model::kiln::{Kiln, Layer, Lining};
use glost_model::shown::{Shown, trimmed};
use glost_model::text::{self, Fields};
use glost_sheets::{Known, Paper, kiln_svg};
use maud::{Markup, html};
use serde_json::json;

use super::stock;
use super::stock_forms::of_shape;
use crate::app::fields::field_id;
use crate::app::{Form, Query, Trouble, Typed, Visit};
use crate::page::narrow;

/// A kiln as far as its form is filled in.
#[derive(Debug)]
pub struct Sketch {
    /// The kiln, and which of its parts are known; nothing while what is filled in makes none.
    drawn: Option<(Kiln, Known)>,
    /// What is wrong with what is filled in; what is still empty is no fault yet.
    faults: Vec<Fault>,
}

/// Reads a form as far as it goes.
pub fn sketch(fields: &Fields, shown: Shown) -> Sketch {
    let faults = match text::read_kiln(fields, shown) {
        Ok(kiln) => {
            return Sketch {
                drawn: Some((kiln, Known::ALL)),
                faults: Vec::new(),
            };
        }
        Err(faults) => faults,
    };
    let (filled, known) = filled_up(fields, shown);
    let drawn = text::read_kiln(&filled, shown).ok();
    let typed = |f: &Fault| fields.iter().any(|x| x.0 == f.field && !empty(&x.1));
    Sketch {
        drawn: drawn.map(|k| (k, known)),
        faults: faults.into_iter().filter(typed).collect(),
    }
}

fn empty(text: &str) -> bool {
    text.trim().is_empty()
}

/// Keys of a row that a drawing needs.
const ROWS: [(&str, &[&str]); 5] = [
    ("bands", &["from", "to"]),
    ("peepholes", &["clock", "height"]),
    ("wall", &["lining", "thickness"]),
    ("floor", &["lining", "thickness"]),
    ("lid", &["lining", "thickness"]),
];

/// The same form with something in every place that a drawing does not show, and in those that are still empty; and
/// which parts are really there. Rows that are being typed are left out.
fn filled_up(fields: &Fields, shown: Shown) -> (Fields, Known) {
    let mut typed = Typed(fields.clone());
    let row_of = |name: &str| {
        let (list, rest) = name.split_once('.')?;
        let (at, key) = rest.split_once('.')?;
        Some((list.to_owned(), at.to_owned(), key.to_owned()))
    };
    let whole = |list: &str, at: &str| {
        ROWS.iter().find(|r| r.0 == list).is_none_or(|(_, keys)| {
            let full = |key: &&str| {
                let name = format!("{list}.{at}.{key}");
                fields.iter().any(|f| f.0 == name && !empty(&f.1))
            };
            keys.iter().all(full)
        })
    };
    typed
        .0
        .retain(|f| row_of(&f.0).is_none_or(|(list, at, _)| whole(&list, &at)));
    let has = |typed: &Typed, list: &str| {
        let start = format!("{list}.");
        typed
            .0
            .iter()
            .any(|f| f.0.starts_with(&start) && !empty(&f.1))
    };
    let bands = has(&typed, "bands");
    let lining = ["wall", "floor", "lid"].map(|list| has(&typed, list));
    let sensor = ["sensor.clock", "sensor.height", "sensor.reach"]
        .iter()
        .all(|name| !empty(typed.get(name)));
    if !bands {
        let height = typed.get("height").to_owned();
        typed.set("bands.0.from", "0");
        typed.set("bands.0.to", height);
    }
    for at in 0..50 {
        let name = format!("bands.{at}.from");
        if !empty(typed.get(&name)) {
            typed.set(&format!("bands.{at}.power_kw"), "1");
        }
    }
    for (list, there) in ["wall", "floor", "lid"].into_iter().zip(lining) {
        if !there {
            typed.set(&format!("{list}.0.lining"), "brick-23");
            typed.set(&format!("{list}.0.thickness"), "1");
        }
    }
    if !sensor {
        for (name, text) in [
            ("sensor.clock", "9"),
            ("sensor.height", if shown.inches { "0.1" } else { "1" }),
            ("sensor.reach", "0"),
        ] {
            typed.set(name, text);
        }
    }
    let hottest = if shown.fahrenheit { "2300" } else { "1260" };
    for (name, text) in [
        ("max_cone", "6"),
        ("max_temperature", hottest),
        ("element_ageing", "1"),
        ("vent_fan", "false"),
        ("controller.max_segments", "8"),
        ("controller.zoned", "false"),
        ("controller.hold_step_minutes", "1"),
    ] {
        typed.set(name, text);
    }
    if empty(typed.get("name")) {
        typed.set("name", "kiln");
    }
    let known = Known {
        bands,
        sensor,
        lining,
    };
    (typed.0, known)
}

impl Sketch {
    /// What is to be said of it.
    fn say(&self) -> String {
        match (&self.drawn, self.faults.len()) {
            (Some((_, known)), 0) => {
                let parts = [
                    (known.bands, "rings of elements"),
                    (known.sensor, "sensor"),
                    (known.lining[0], "side wall"),
                    (known.lining[1], "floor"),
                    (known.lining[2], "lid or roof"),
                ];
                let out: Vec<&str> = parts.iter().filter(|p| !p.0).map(|p| p.1).collect();
                if out.is_empty() {
                    "Drawn to scale from the numbers of the form.".to_owned()
                } else {
                    format!("Drawn to scale; still to come: {}.", out.join(", "))
                }
            }
            (_, 0) => "Fill in its shape, its sizes and its height to see it drawn.".to_owned(),
            (_, 1) => {
                "Out of date: one number is to be mended before it can be drawn anew.".to_owned()
            }
            (_, n) => {
                format!("Out of date: {n} numbers are to be mended before it can be drawn anew.")
            }
        }
    }

    /// The drawing, when all that is filled in is right.
    fn fresh(&self, shown: Shown) -> Option<Markup> {
        let (kiln, known) = self.drawn.as_ref().filter(|_| self.faults.is_empty())?;
        Some(picture(kiln, *known, shown))
    }
}

fn picture(kiln: &Kiln, known: Known, shown: Shown) -> Markup {
    let label = format!("{} from above and cut open, to scale", kiln.name);
    html! {
        (narrow(kiln_svg(kiln, known, shown, Paper::Phone), &label))
        (words(kiln, known, shown))
    }
}

/// The drawing's parts in words.
pub fn words(kiln: &Kiln, known: Known, shown: Shown) -> Markup {
    let layers = |all: &[Layer]| {
        let each = all.iter().map(|l| {
            let of = match l.lining {
                Lining::Brick23 => "light brick 23",
                Lining::Brick26 => "light brick 26",
                Lining::Fibre => "fibre",
                Lining::Castable => "castable",
            };
            format!("{} {of}", shown.length(l.thickness))
        });
        each.collect::<Vec<_>>().join(", then ")
    };
    html! { ul.sketch-words {
        @if known.bands { @for (i, b) in kiln.bands.iter().enumerate() {
            li { "Ring " (i + 1) ": " (shown.bare_length(b.from)) " to " (shown.length(b.to)) ", " (trimmed(b.power.to_kw(), 2)) " kW" }
        } }
        @for (name, all, there) in [("Wall", &kiln.wall, known.lining[0]), ("Floor", &kiln.floor, known.lining[1]), ("Lid or roof", &kiln.lid, known.lining[2])] {
            @if there { li { (name) ", from the hot face: " (layers(all)) } }
        }
        li { "S sensor" @if !kiln.peepholes.is_empty() { ", P peepholes" } ", dark strips rings of elements" }
    } }
}

/// The panel beside the form: the drawing of what is filled in, else the last good one, marked as such.
pub fn panel(typed: &Typed, stored: Option<&Kiln>, shown: Shown) -> Markup {
    let now = sketch(&of_shape(typed.but(&["version"])), shown);
    let fresh = now.fresh(shown);
    let stale = fresh.is_none() && stored.is_some();
    html! {
        details.sketch #sketch open data-stale=[stale.then_some("yes")] {
            summary { "Drawing" }
            p #sketch-say role="status" { (now.say()) }
            div #sketch-drawing { @match (fresh, stored) {
                (Some(drawing), _) => (drawing),
                (None, Some(kiln)) => (picture(kiln, Known::ALL, shown)),
                (None, None) => p.empty { "No drawing yet." },
            } }
        }
        script src="/asset/kiln-draw.js" type="module" {}
    }
}

/// Draws what is in the form: for the script as data, else the form's page again.
pub async fn draw(
    v: Visit,
    Query(q): Query<Vec<(String, String)>>,
    headers: HeaderMap,
    Form(sent): Form<Vec<(String, String)>>,
) -> Result<Response, Trouble> {
    v.must(Act::Keep)?;
    let typed = Typed(sent);
    let id = Typed(q).get("id").to_owned();
    let accept = headers.get(header::ACCEPT).and_then(|a| a.to_str().ok());
    if accept == Some("application/json") {
        let now = sketch(&of_shape(typed.but(&["version"])), v.shown());
        let faults: Vec<_> = now
            .faults
            .iter()
            .map(|f| json!({ "field": field_id(&f.field), "words": format!("{}. {}.", f.what, f.remedy) }))
            .collect();
        let drawing = now.fresh(v.shown()).map(|d| d.into_string());
        let body = json!({ "drawing": drawing, "say": now.say(), "faults": faults });
        return Ok(Json(body).into_response());
    }
    let now = sketch(&of_shape(typed.but(&["version"])), v.shown());
    if id.is_empty() {
        let title = "Add a kiln";
        let body = stock::form::<Kiln>(&v, None, &typed, &now.faults);
        return Ok(v.page(crate::app::Here::Kilns, title, &body));
    }
    let kept = v.app.desk.store.get::<Stock<Kiln>>(&id).await?;
    let body = stock::page(&v, &kept, Some(&typed), &now.faults);
    Ok(v.page(crate::app::Here::Kilns, &kept.body.thing.name, &body))
}
