//! The same for machines. Times are RFC 9557 with the studio's zone; the rest is SI as in `plan.json`.

use glost_model::doubt::Band;
use glost_studio::ask::{Answers, Cheapest, HeldMore, There, Times, Told, ZoneTold};
use jiff::ZonedDateTime;
use serde::Serialize;
use serde_json::{Value, json};

use super::words::{DEFER, OPENING};

/// All answers.
pub fn data(a: &Answers) -> Value {
    let load = &a.file.load;
    json!({
        "kiln": load.kiln,
        "cone": load.cone,
        "start": a.start.to_string(),
        "answers": told(&a.told),
        "hold_more": a.held.as_ref().map(held),
        "cheapest": a.cheapest.as_ref().map(cheapest),
        "currency": a.file.studio.tariff.currency,
        "margin": a.margin,
        "margin_words": a.margin.words(load.cone, a.file.studio.shown),
        "remarks": a.remarks,
        "notes": a.file.firing.as_ref().map(|f| &f.notes),
        "cautions": [OPENING, DEFER],
    })
}

fn at(at: Option<&ZonedDateTime>) -> Option<String> {
    at.map(ToString::to_string)
}

fn times(t: &Times) -> Value {
    json!({ "about": at(t.about.as_ref()), "low": at(t.low.as_ref()), "high": at(t.high.as_ref()) })
}

fn about<T: Serialize>(about: T, band: &Band<T>) -> Value {
    json!({ "about": about, "low": band.low, "high": band.high })
}

fn there(there: There) -> &'static str {
    match there {
        There::Nobody => "nobody",
        There::Likely => "likely",
        There::Surely => "surely",
    }
}

fn zone(z: &ZoneTold) -> Value {
    json!({
        "tiers": z.about.tiers,
        "cone_reached": z.about.cone_reached,
        "cone_position": about(z.about.cone_position, &z.cone_position),
        "short": z.short,
        "past": z.past,
    })
}

fn told(t: &Told) -> Value {
    json!({
        "feasible": t.feasible,
        "draws": t.draws,
        "missed": t.missed,
        "hold_s": t.hold,
        "peak_over": times(&t.peak_over),
        "somebody_there": there(t.there),
        "programme_over": times(&t.over),
        "open": times(&t.open),
        "open_below_c": t.open_below,
        "energy_j": about(t.energy, &t.energy_band),
        "highest_w": t.highest,
        "cost_cents": t.cost.as_ref().map(|c| about(c.about, &c.band)),
        "highest_draw_cents": t.cost.as_ref().and_then(|c| c.draw),
        "zones": t.zones.iter().map(zone).collect::<Vec<_>>(),
    })
}

fn held(h: &HeldMore) -> Value {
    json!({
        "by_s": h.by,
        "later_s": h.later,
        "dearer_cents": h.dearer,
        "answers": told(&h.told),
        "warnings": h.warnings,
    })
}

fn cheapest(c: &Cheapest) -> Value {
    json!({
        "start": c.start.to_string(),
        "cost_cents": about(c.cost, &c.band),
        "least_start": c.least.0.to_string(),
        "least_cents": c.least.1,
        "dearest_cents": c.dearest,
        "peak_over": at(c.peak_over.as_ref()),
        "somebody_there": there(c.there),
        "can_start": c.can_start,
        "within_s": c.ahead,
    })
}
