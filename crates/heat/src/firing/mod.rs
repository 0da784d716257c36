//! From a load to a firing plan: segments with a reason each, steps for hands, and a peak that is
//! solved so that the middle of this kiln with this load gets the cone that is wanted.

mod aim;
mod by_hand;
mod climb;
mod compare;
mod ends;
mod facts;
mod fewer;
mod hands;
mod judge;
mod limits;
mod mend;
mod segments;
mod solve;
mod stretch;

pub use aim::{Wishes, cost};
pub use by_hand::{ByHand, by_hand};
pub use compare::zones_of;
pub(crate) use limits::cooling_limits;
pub use limits::{KnownRate, OneWall, Passing, WALLS_MM, known_rates};
pub use mend::{Mended, mend, with_peak};

use glost_model::cone::Cone;
use glost_model::firing::{DropHold, FiringPlan, Segment};
use glost_model::forecast::Forecast;
use glost_model::kiln::Kiln;
use glost_model::load::LoadPlan;
use glost_model::shown::Shown;
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

/// Plans the firing of a load in a kiln, over as soon as ware and kiln allow.
///
/// # Errors
/// [`NotPlanned`]. A kiln that is too weak is no error: its plan says so.
pub fn plan(studio: &Studio, kiln: &Kiln, load: &LoadPlan) -> Result<Planned, NotPlanned> {
    plan_for(studio, kiln, load, &Wishes::default())
}

/// Plans a firing for what is wished.
///
/// # Errors
/// As [`plan`].
pub fn plan_for(
    studio: &Studio,
    kiln: &Kiln,
    load: &LoadPlan,
    wishes: &Wishes,
) -> Result<Planned, NotPlanned> {
    let last = Rate::c_per_h(segments::LAST_C_PER_H);
    let end = crate::end_point(load.cone, last).ok_or(NotPlanned::NoLaw(load.cone))?;
    let model = KilnModel::new(from_plan(studio, kiln, load))?;
    let facts = facts::Facts::of(studio, load);
    let caps = limits::caps(&facts, segments::last_from(end));
    let mut segments = segments::of(&facts, &caps, end, kiln.controller.hold_step);
    if let Some(drop) = wishes.drop_hold {
        segments
            .list
            .insert(segments.peak + 1, after_peak(end, drop));
    }
    let mut notes = facts.notes(kiln);
    notes.extend(guessed(load.cone, last, studio.shown));
    notes.append(&mut segments.notes);
    let by_hand = fewer::at_most(
        kiln.controller.max_segments,
        studio.shown,
        &mut segments,
        &mut notes,
    );
    let dropped = segments.list.len() > segments.peak + 1;
    if wishes.drop_hold.is_some() && !dropped {
        notes.push(
            "The controller has too few segments for the fall and hold that is wished.".into(),
        );
    }
    let mut plan = FiringPlan {
        aim: wishes.aim,
        drop_hold: wishes.drop_hold,
        notes,
        ..FiringPlan::new(load.cone, segments.list)
    };
    let mut climb = climb::Climb {
        model: &model,
        studio,
        most_segments: usize::from(kiln.controller.max_segments.max(1)),
        caps: &caps,
        peak: segments.peak,
    };
    climb.rates(&mut plan)?;
    let ends = |peak: usize| ends::Ends {
        model: &model,
        kiln,
        studio,
        wishes,
        peak,
        drop_hold: wishes.drop_hold.filter(|_| dropped),
        caps: &caps,
    };
    climb::cheaper(&mut plan, &ends(climb.peak))?;
    if let Some(before) = plan.segments.get_mut(..climb.peak) {
        segments::reason_holds(&facts, before);
    }
    solve::no_chase(&model, kiln, &mut plan, climb.peak, studio, end)?;
    let mut forecast = climb.cool(&mut plan)?;
    plan.hand_steps = hands::steps(&facts, kiln, &plan, climb.peak, &by_hand);
    // What a controller cannot hold is not done until somebody does it.
    forecast.feasible &= by_hand.is_empty() && !facts.stays_wet();
    judge::judge(studio, kiln, load, &model, &mut plan, &mut forecast);
    judge::limits(&caps, studio.shown, &mut plan, &forecast);
    Ok(Planned { plan, forecast })
}

/// The limits of the ware that a firing breaks on its way up or down, drying among them, in words.
pub fn broken_limits(studio: &Studio, load: &LoadPlan, fired: &Planned) -> Vec<String> {
    let end = crate::end_point(load.cone, Rate::c_per_h(segments::LAST_C_PER_H));
    let last_from = segments::last_from(end.unwrap_or(Temperature::c(0.0)));
    let facts = facts::Facts::of(studio, load);
    let caps = limits::caps(&facts, last_from);
    let wet = judge::undried(&facts, studio.shown, &fired.plan.segments);
    let broken = limits::broken(&caps, &fired.forecast.samples);
    let words = broken.iter().map(|b| b.words(studio.shown));
    wet.into_iter().chain(words).collect()
}

/// A fall and hold after the peak.
fn after_peak(end: Temperature, drop: DropHold) -> Segment {
    Segment {
        rate: None,
        target: whole_c(end - drop.by),
        hold: drop.hold,
        reason: "Falls as fast as the kiln will and waits: bubbles heal while the glaze stiffens."
            .into(),
    }
}

/// Foresees and judges segments that somebody has chosen.
///
/// # Errors
/// [`NotPlanned`]. Segments that harm ware or kiln are no error: the notes say so.
pub fn try_out(
    studio: &Studio,
    kiln: &Kiln,
    load: &LoadPlan,
    segments: Vec<Segment>,
) -> Result<Planned, NotPlanned> {
    let model = KilnModel::new(from_plan(studio, kiln, load))?;
    let facts = facts::Facts::of(studio, load);
    let mut plan = FiringPlan {
        notes: facts.notes(kiln),
        ..FiringPlan::new(load.cone, segments)
    };
    if let Some(peak) = plan.peak() {
        plan.hand_steps = hands::steps(&facts, kiln, &plan, peak, &[]);
    }
    let mut forecast = simulate(&model, &plan, &studio.tariff, Extent::Cooling)?;
    judge::judge(studio, kiln, load, &model, &mut plan, &mut forecast);
    judge::drying(&facts, studio.shown, &mut plan, &mut forecast);
    let end = crate::end_point(load.cone, Rate::c_per_h(segments::LAST_C_PER_H));
    let caps = limits::caps(
        &facts,
        segments::last_from(end.unwrap_or(Temperature::c(0.0))),
    );
    judge::limits(&caps, studio.shown, &mut plan, &forecast);
    Ok(Planned { plan, forecast })
}

/// Said of a cone whose end point is led on from others.
fn guessed(cone: Cone, rate: Rate, shown: Shown) -> Option<String> {
    let doubt = crate::end_point_doubt(crate::Column::SelfSupporting, cone, rate)?;
    (doubt > GUESSED).then(|| {
        format!(
            "No end point of cone {cone} was at hand: it is led on from the cones below, give or take {}. Watch witness cones, and end by them.",
            shown.difference(doubt)
        )
    })
}

/// Rounded to the whole °C that a controller takes.
fn whole_c(t: Temperature) -> Temperature {
    Temperature::c(t.to_c().round())
}
