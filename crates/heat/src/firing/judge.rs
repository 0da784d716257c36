//! What a simulated firing leaves to be said.

use glost_model::Temperature;
use glost_model::firing::{FiringPlan, Segment};
use glost_model::forecast::{Forecast, ZoneResult};
use glost_model::kiln::Kiln;
use glost_model::load::LoadPlan;
use glost_model::shown::{Shown, hours};
use glost_model::studio::Studio;

use super::aim::HALF_CONE;
use super::facts::{DRY_AT, Facts};
use super::limits::{Cap, broken};
use super::segments::SHORT;
use crate::kiln::KilnModel;

/// Water leaves a wall slowly enough only below this.
const BOILING: Temperature = Temperature::c(100.0);

/// Adds notes, the gravest first, and says whether it can be done.
pub fn judge(
    studio: &Studio,
    kiln: &Kiln,
    load: &LoadPlan,
    model: &KilnModel,
    plan: &mut FiringPlan,
    forecast: &mut Forecast,
) {
    let shown = studio.shown;
    let mut grave = Vec::new();
    if kiln.max_cone < plan.cone {
        grave.push(format!(
            "The nameplate says cone {} at most; cone {} is beyond it.",
            kiln.max_cone, plan.cone
        ));
    }
    if let Some(hottest) = plan.peak().and_then(|p| plan.segments.get(p))
        && hottest.target > kiln.max_temperature
    {
        grave.push(format!(
            "The nameplate allows {}; {} is beyond it.",
            shown.temperature(kiln.max_temperature),
            shown.temperature(hottest.target)
        ));
    }
    let middle = forecast.zones.get(model.reference_zone());
    if let Some(middle) = middle.filter(|z| z.cone_position < plan.cone.position() - 0.25) {
        grave.push(format!(
            "This firing does not reach cone {}: the middle gets cone {} at {}. \
             Climb higher or hold longer; else check mains voltage and elements, load less, or use another kiln.",
            plan.cone,
            middle.cone_reached,
            shown.temperature(forecast.peak_c)
        ));
    }
    grave.extend(melted(studio, load, &forecast.zones));
    forecast.feasible &= grave.is_empty();
    plan.notes.splice(0..0, grave);
    let off = |z: &ZoneResult| (z.cone_position - plan.cone.position()).abs() > HALF_CONE;
    // When even the middle is off, that is all there is to say.
    let uneven = middle.is_some_and(|m| !off(m));
    for zone in &forecast.zones {
        if uneven && off(zone) {
            plan.notes.push(format!(
                "{} cone {} where cone {} is wanted. Put ware that minds elsewhere; a cone pack there tells.",
                tiers_get(&zone.tiers),
                zone.cone_reached,
                plan.cone
            ));
        }
    }
    plan.notes.push(
        "Temperatures are those of the kiln's sensor. Only witness cones tell what the ware got: \
         put a pack where it can be seen."
            .into(),
    );
}

/// Ware that gets more than its clay stands, a note for each zone and clay.
fn melted(studio: &Studio, load: &LoadPlan, zones: &[ZoneResult]) -> Vec<String> {
    let mut notes = Vec::new();
    for zone in zones {
        for clay in &studio.clays {
            if zone.cone_position <= clay.cone_to.position() + HALF_CONE {
                continue;
            }
            let here = |tier: &str| zone.tiers.split(", ").any(|name| name == tier);
            let pieces: Vec<&str> = load
                .placed()
                .filter(|(t, p)| {
                    here(&t.name) && studio.piece(&p.piece).is_some_and(|q| q.clay == clay.name)
                })
                .map(|(_, p)| p.piece.as_str())
                .collect();
            if !pieces.is_empty() {
                notes.push(format!(
                    "{} cone {}; clay {} stands cone {} at most. Take out or move: {}.",
                    tiers_get(&zone.tiers),
                    zone.cone_reached,
                    clay.name,
                    clay.cone_to,
                    pieces.join(", ")
                ));
            }
        }
    }
    notes
}

/// Says which limits of the ware are broken on the way up or down.
pub fn limits(caps: &[Cap], shown: Shown, plan: &mut FiringPlan, forecast: &Forecast) {
    for b in broken(caps, &forecast.samples) {
        let words = b.words(shown);
        if !plan.notes.iter().any(|n| n.starts_with(&words)) {
            plan.notes.push(words);
        }
    }
}

/// What segments leave of the hold that dries the load, in words.
pub fn undried(facts: &Facts, shown: Shown, segments: &[Segment]) -> Option<String> {
    let (needed, piece) = facts.drying.as_ref()?;
    let held = segments
        .iter()
        .filter(|s| s.target < BOILING)
        .map(|s| s.hold)
        .fold(glost_model::Span::ZERO, |a, b| a + b);
    (held + SHORT < *needed).then(|| {
        format!(
            "{piece} needs {} near {} to be dry before the water in it boils; these segments hold {} there.",
            hours(*needed),
            shown.temperature(DRY_AT),
            hours(held)
        )
    })
}

/// Says when segments of somebody's own leave the drying hold out.
pub fn drying(facts: &Facts, shown: Shown, plan: &mut FiringPlan, forecast: &mut Forecast) {
    if let Some(words) = undried(facts, shown, &plan.segments) {
        forecast.feasible = false;
        plan.notes.insert(0, words);
    }
}

fn tiers_get(names: &str) -> String {
    if names.is_empty() {
        "The floor gets".into()
    } else if names.contains(", ") {
        format!("Tiers {names} get")
    } else {
        format!("Tier {names} gets")
    }
}
