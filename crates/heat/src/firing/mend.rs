//! Segments of somebody's own, repaired with as few changes as may be.

use glost_model::firing::{FiringPlan, Segment};
use glost_model::kiln::Kiln;
use glost_model::load::LoadPlan;
use glost_model::shown::hours;
use glost_model::studio::Studio;
use glost_model::{Span, Temperature};

use super::climb::Climb;
use super::ends::Ends;
use super::facts::{DRY_AT, DRY_AT_MOST, Facts};
use super::limits::{self, Cap};
use super::segments::{SHORT, last_from, slowest, up_to_step};
use super::{NotPlanned, Planned, Wishes, try_out};
use crate::kiln::{KilnModel, from_plan};

/// A firing with what was changed to make it serve.
#[derive(Debug, Clone, PartialEq)]
pub struct Mended {
    /// The firing.
    pub firing: Planned,
    /// Each change in words; empty when nothing had to change.
    pub changes: Vec<String>,
}

/// Middle cones further off than this are mended, in cones.
const OFF: f64 = 0.25;
/// Water boils here.
const BOILING: Temperature = Temperature::c(100.0);

/// Repairs segments: a hold that dries the load, rates that its ware stands, a peak that gives the middle of the
/// kiln its cone. What is right stays as it was.
///
/// # Errors
/// [`NotPlanned`].
pub fn mend(
    studio: &Studio,
    kiln: &Kiln,
    load: &LoadPlan,
    segments: Vec<Segment>,
) -> Result<Mended, NotPlanned> {
    let last = glost_model::Rate::c_per_h(super::segments::LAST_C_PER_H);
    let end = crate::end_point(load.cone, last).ok_or(NotPlanned::NoLaw(load.cone))?;
    let model = KilnModel::new(from_plan(studio, kiln, load))?;
    let facts = Facts::of(studio, load);
    let caps = limits::caps(&facts, last_from(end));
    let mut plan = FiringPlan::new(load.cone, segments);
    let mut changes: Vec<String> = dry(&facts, kiln, &caps, &mut plan).into_iter().collect();
    let Some(peak) = plan.peak() else {
        let firing = try_out(studio, kiln, load, plan.segments)?;
        return Ok(Mended { firing, changes });
    };
    let climb = Climb {
        model: &model,
        studio,
        most_segments: usize::from(kiln.controller.max_segments.max(1)),
        caps: &caps,
        peak,
    };
    changes.extend(climb.mend(&mut plan)?);
    let wishes = Wishes::default();
    let ends = Ends {
        model: &model,
        kiln,
        studio,
        wishes: &wishes,
        peak,
        drop_hold: None,
        caps: &caps,
    };
    changes.extend(ends.mend(&mut plan, OFF)?);
    let firing = try_out(studio, kiln, load, plan.segments)?;
    Ok(Mended { firing, changes })
}

/// The same segments with only the peak worked out, so that firings can be compared at the same cone.
///
/// # Errors
/// [`NotPlanned`].
pub fn with_peak(
    studio: &Studio,
    kiln: &Kiln,
    load: &LoadPlan,
    segments: Vec<Segment>,
) -> Result<Planned, NotPlanned> {
    let model = KilnModel::new(from_plan(studio, kiln, load))?;
    let mut plan = FiringPlan::new(load.cone, segments);
    if let Some(peak) = plan.peak() {
        let wishes = Wishes::default();
        let ends = Ends {
            model: &model,
            kiln,
            studio,
            wishes: &wishes,
            peak,
            drop_hold: None,
            caps: &[],
        };
        ends.mend(&mut plan, 0.0)?;
    }
    try_out(studio, kiln, load, plan.segments)
}

/// Holds long enough below boiling: a hold that is there grows, else one comes first.
fn dry(facts: &Facts, kiln: &Kiln, caps: &[Cap], plan: &mut FiringPlan) -> Option<String> {
    let (needed, piece) = facts.drying.as_ref()?;
    let below = |s: &Segment| s.target < BOILING;
    let held = plan.segments.iter().filter(|s| below(s)).map(|s| s.hold);
    let held = held.fold(Span::ZERO, |a, b| a + b);
    if held + SHORT >= *needed {
        return None;
    }
    let missing = up_to_step(needed.min(DRY_AT_MOST) - held, kiln.controller.hold_step);
    let why = format!(
        "Slowest to dry is {piece}: water needs {} to find its way out of its wall. Steam inside would burst it.",
        hours(*needed)
    );
    if let Some((i, s)) = plan
        .segments
        .iter_mut()
        .enumerate()
        .rfind(|(_, s)| s.target < BOILING)
    {
        let was = s.hold;
        s.hold += missing;
        s.reason.clone_from(&why);
        return Some(format!(
            "Segment {}: hold {} in place of {}. {why}",
            i + 1,
            hours(s.hold),
            hours(was)
        ));
    }
    if plan.segments.len() >= usize::from(kiln.controller.max_segments.max(1)) {
        return None;
    }
    let cap = slowest(caps, Temperature::c(0.0), DRY_AT);
    let first = Segment {
        rate: cap.map(|c| c.rate),
        target: DRY_AT,
        hold: missing,
        reason: why.clone(),
    };
    plan.segments.insert(0, first);
    Some(format!(
        "A segment comes first that holds {} at {}. {why}",
        hours(missing),
        facts.shown.temperature(DRY_AT)
    ))
}
