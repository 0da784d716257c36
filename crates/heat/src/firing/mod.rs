//! From a load to a firing plan: segments with a reason each, steps for hands, and a peak that is
//! solved so that the middle of this kiln with this load gets the cone that is wanted.

mod facts;
mod fewer;
mod hands;
mod segments;
mod solve;

use glost_model::cone::Cone;
use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::kiln::Kiln;
use glost_model::load::LoadPlan;
use glost_model::studio::Studio;
use glost_model::{Rate, TempDiff, Temperature};

use crate::kiln::{Extent, KilnModel, NotAKiln, NotSimulated, from_plan, simulate};

/// A firing plan and what to expect of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// What to set and do.
    pub plan: FiringPlan,
    /// What to expect; `feasible` is false when the kiln cannot do it.
    pub forecast: Forecast,
}

/// No plan can be made.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotPlanned {
    /// No rate law for that cone.
    #[error("cone {0} has no published end points to plan by")]
    NoLaw(Cone),
    /// The kiln cannot be modelled.
    #[error(transparent)]
    Kiln(#[from] NotAKiln),
    /// The firing cannot be simulated.
    #[error(transparent)]
    Simulation(#[from] NotSimulated),
}

/// End points in doubt by this much are led on from other cones, not published (cone 14).
const GUESSED: TempDiff = TempDiff::k(15.0);

/// Plans the firing of a load in a kiln.
///
/// # Errors
/// [`NotPlanned`]. A kiln that is too weak is no error: its plan says so.
pub fn plan(studio: &Studio, kiln: &Kiln, load: &LoadPlan) -> Result<Planned, NotPlanned> {
    let end = crate::end_point(load.cone, Rate::c_per_h(segments::LAST_C_PER_H))
        .filter(|_| {
            let doubt = crate::end_point_doubt(crate::Column::SelfSupporting, load.cone);
            doubt.is_some_and(|d| d < GUESSED)
        })
        .ok_or(NotPlanned::NoLaw(load.cone))?;
    let model = KilnModel::new(from_plan(studio, kiln, load))?;
    let facts = facts::Facts::of(studio, load);
    let mut segments = segments::of(&facts, end, kiln.controller.hold_step);
    let mut notes = facts.notes(kiln);
    fewer::at_most(
        kiln.controller.max_segments,
        studio.shown,
        &mut segments,
        &mut notes,
    );
    let mut plan = FiringPlan {
        cone: load.cone,
        segments: segments.list,
        hand_steps: Vec::new(),
        notes,
    };
    solve::rates(&model, &mut plan, studio)?;
    solve::peak(&model, kiln, &mut plan, segments.peak, studio)?;
    plan.hand_steps = hands::steps(&facts, kiln, &plan, segments.peak);
    let mut forecast = simulate(&model, &plan, &studio.tariff, Extent::Cooling)?;
    judge(kiln, &model, &mut plan, &mut forecast);
    Ok(Planned { plan, forecast })
}

/// What the solved plan leaves to be said.
fn judge(kiln: &Kiln, model: &KilnModel, plan: &mut FiringPlan, forecast: &mut Forecast) {
    let middle = forecast
        .zones
        .get(model.reference_zone())
        .map_or(f64::NEG_INFINITY, |z| z.cone_position);
    if middle < plan.cone.position() - 0.25 {
        forecast.feasible = false;
        plan.notes.insert(
            0,
            format!(
                "This kiln cannot take this load to cone {}: the middle gets no further than cone {} \
                 at {}. Check mains voltage and elements, load less, or use another kiln.",
                plan.cone,
                forecast
                    .zones
                    .get(model.reference_zone())
                    .map_or("", |z| &z.cone_reached),
                model.input.shown.temperature(forecast.peak_c)
            ),
        );
    }
    if kiln.max_cone < plan.cone {
        plan.notes.insert(
            0,
            format!(
                "The nameplate says cone {} at most; cone {} is beyond it.",
                kiln.max_cone, plan.cone
            ),
        );
        forecast.feasible = false;
    }
    let ends = forecast
        .zones
        .iter()
        .map(|z| z.cone_position)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), p| {
            (lo.min(p), hi.max(p))
        });
    if ends.1 - ends.0 > 0.5 {
        let name = |p: f64| {
            let zone = forecast
                .zones
                .iter()
                .find(|z| (z.cone_position - p).abs() < 1e-9);
            zone.map_or(String::new(), |z| {
                format!("cone {} on {}", z.cone_reached, tiers(&z.tiers))
            })
        };
        plan.notes.push(format!(
            "The kiln fires unevenly: {}, {}. Put ware that minds where it suits; a cone pack on each tier tells.",
            name(ends.0),
            name(ends.1)
        ));
    }
    plan.notes.push(
        "Temperatures are those of the kiln's sensor. Only witness cones tell what the ware got: \
         put a pack where it can be seen."
            .into(),
    );
}

fn tiers(names: &str) -> String {
    if names.is_empty() {
        "the floor".into()
    } else {
        format!("tier {names}")
    }
}

/// Rounded to the whole °C that a controller takes.
fn whole_c(t: Temperature) -> Temperature {
    Temperature::c(t.to_c().round())
}
