//! A firing that is over, as learning wants it.

use glost_model::book::fired::ConeRead;
use glost_model::firing::FiringPlan;
use glost_model::readings::Sample;
use glost_model::{Energy, Temperature};
use jiff::Timestamp;

use super::curve::{Curve, NoUse};
use super::feature::{Feature, Marks, features, held_more};
use super::model::{Run, run};
use crate::kiln::KilnInput;

/// A firing with what is known of it. Anything but the log may be missing.
#[derive(Debug, Clone, PartialEq)]
pub struct Past {
    /// Its id in the book.
    pub id: String,
    /// When it began.
    pub at: Timestamp,
    /// The kiln with the load as it was fired.
    pub input: KilnInput,
    /// What the controller was told.
    pub plan: FiringPlan,
    /// What was read. Meter and duty are used when they are there.
    pub log: Vec<Sample>,
    /// Stretches in which something else went on: a lid opened, mains failed.
    pub bad: Vec<(Timestamp, Timestamp)>,
    /// Witness cones.
    pub cones: Vec<ConeRead>,
    /// Energy drawn, when somebody read the meter before and after.
    pub energy: Option<Energy>,
}

/// A firing made ready for a fit.
pub(super) struct Ready {
    pub input: KilnInput,
    /// As it went: with the hold that was really held.
    pub plan: FiringPlan,
    pub curve: Curve,
    pub marks: Marks,
    pub features: Vec<Feature>,
}

/// Few comparisons say nothing about half a dozen unknowns.
const LEAST_FEATURES: usize = 4;
/// Kilns stand in rooms between these, °C.
const ROOMS_C: std::ops::RangeInclusive<f64> = 0.0..=45.0;

impl Ready {
    /// `shifts` is the kiln as it is known by then.
    pub fn of(past: &Past, shifts: &[f64]) -> Result<Self, NoUse> {
        let curve = Curve::of_log(&past.log, &past.bad)?;
        let target = past
            .plan
            .peak()
            .and_then(|p| past.plan.segments.get(p))
            .map(|s| s.target.to_c())
            .filter(|t| t.is_finite())
            .ok_or(NoUse::NotSimulated)?;
        let marks = Marks::of(&curve, target);
        let mut input = past.input.clone();
        if let Some(first) = curve.first().filter(|p| ROOMS_C.contains(&p.sensor_c)) {
            input.room = Temperature::c(first.sensor_c);
        }
        // Nothing is compared below the last mark.
        input.opening.unload = input.opening.unload.max(Temperature::c(220.0));
        let energy = past.energy.filter(|e| e.is_finite());
        let features = features(&curve, &marks, &past.cones, energy);
        if features.len() < LEAST_FEATURES {
            return Err(NoUse::Gaps);
        }
        let mut ready = Self {
            input,
            plan: past.plan.clone(),
            curve,
            marks,
            features,
        };
        ready.as_it_went(shifts)?;
        Ok(ready)
    }

    pub fn run(&self, shifts: &[f64]) -> Result<Run, NoUse> {
        run(&self.input, &self.plan, shifts)
    }

    /// Somebody may have held longer or shorter than planned; cones know.
    fn as_it_went(&mut self, shifts: &[f64]) -> Result<(), NoUse> {
        let planned = self.run(shifts)?;
        let more = held_more(&self.curve, &planned.curve).filter(|_| self.marks.peaked);
        let peak = self.plan.peak();
        if let (Some(more), Some(s)) = (more, peak.and_then(|p| self.plan.segments.get_mut(p))) {
            s.hold = (s.hold + more).max(glost_model::Span::ZERO);
        }
        Ok(())
    }
}
