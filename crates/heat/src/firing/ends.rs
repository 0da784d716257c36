//! The end of the climb: rate of the last stretch, peak and hold together, so that the middle of the kiln gets
//! its cone and the aim is served. A lower peak with a longer hold evens tiers out and takes longer.

use std::collections::BTreeMap;

use glost_model::firing::{Aim, DropHold, FiringPlan};
use glost_model::forecast::Forecast;
use glost_model::kiln::Kiln;
use glost_model::studio::Studio;
use glost_model::{Rate, Span, TempDiff, Temperature};

use super::aim::{Wishes, apart};
use super::limits::Cap;
use super::segments::slowest;
use super::{NotPlanned, whole_c};
use crate::kiln::{Accuracy, Course, Extent, KilnModel};

/// Last rates that are tried, °C/h: the cone chart reaches from 15 to 150; glazes are fired to their peak at 100
/// at most. Common practice, no source.
const RATES: [f64; 7] = [100.0, 80.0, 60.0, 45.0, 30.0, 20.0, 15.0];
/// Holds that are tried, min. Usual are 5 to 30.
const HOLDS: [f64; 10] = [5.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 90.0, 120.0, 180.0];
/// The peak is solved to this before it is rounded, in cones.
const EXACT: f64 = 0.01;
/// Near enough, in cones.
const NEAR: f64 = 0.05;
/// A cone more or less in the middle is worth this much of any score.
const MISSED: f64 = 200.0;
/// A cone is about this far from the next, K. Only the first step is guided by it.
const CONE_K: f64 = 25.0;
/// No step of the search goes further, K.
const STRIDE_K: f64 = 40.0;
/// Simulations at most for one peak.
const TRIES: usize = 8;
/// Ends tried at most.
const ENDS: usize = 40;
/// Segments so far below the peak add nothing to its heat-work.
const COOL: TempDiff = TempDiff::k(150.0);

/// A firing whose end is sought.
pub struct Ends<'a> {
    pub model: &'a KilnModel,
    pub kiln: &'a Kiln,
    pub studio: &'a Studio,
    pub wishes: &'a Wishes,
    /// Number of the segment that ends at the peak.
    pub peak: usize,
    /// The segment after the peak is a wished fall and hold.
    pub drop_hold: Option<DropHold>,
    pub caps: &'a [Cap],
}

/// One end.
#[derive(Debug, Clone)]
struct End {
    rate: Option<Rate>,
    target: Temperature,
    hold: Span,
    score: f64,
    /// Cones too far in the middle; negative when short.
    off: f64,
    /// Cones that zones lie beyond half a cone of what is wanted.
    beyond: f64,
    /// The kiln keeps the rate.
    kept: bool,
}

/// What a search found: its score, the less the better.
#[derive(Debug, Clone, Copy)]
pub struct Found {
    pub score: f64,
}

impl Ends<'_> {
    /// Sets the end of the plan that serves the aim best. Rates of earlier segments stay.
    pub fn search(&self, plan: &mut FiringPlan) -> Result<Option<Found>, NotPlanned> {
        let Some(first) = plan.segments.get(self.peak).cloned() else {
            return Ok(None);
        };
        let mut course = Course::new(self.model, Accuracy::USUAL)?;
        course.through(plan, self.peak)?;
        let most = first.rate.map_or(0.0, |r| r.to_c_per_h());
        let begins = self.peak.checked_sub(1).and_then(|i| plan.segments.get(i));
        let from = begins.map_or(Temperature::c(0.0), |s| s.target);
        let ware = slowest(self.caps, from, first.target).map_or(f64::INFINITY, Cap::c_per_h);
        // A kiln that does not keep the usual rate is not asked for a faster one.
        let slow = most < super::segments::LAST_C_PER_H;
        let at_most = if slow { most } else { ware };
        let mut rates: Vec<f64> = RATES.into_iter().filter(|r| *r < at_most).collect();
        if at_most < RATES[0] {
            rates.insert(0, at_most);
        }
        let holds = self.holds();
        let start = (
            rates.iter().position(|r| *r <= most).unwrap_or(0),
            holds.iter().position(|h| *h >= first.hold).unwrap_or(0),
        );
        let mut known: BTreeMap<(usize, usize), End> = BTreeMap::new();
        let (mut at, mut guess) = (start, first.target);
        loop {
            let around = [
                (0, 0),
                (-1, 0),
                (1, 0),
                (0, -1),
                (0, 1),
                (-1, -1),
                (1, -1),
                (-1, 1),
                (1, 1),
            ];
            let mut best = at;
            for (dr, dh) in around {
                let Some(spot) = shifted(at.0, dr, rates.len()).zip(shifted(at.1, dh, holds.len()))
                else {
                    continue;
                };
                if !known.contains_key(&spot) && known.len() < ENDS {
                    let end = self.solve(
                        plan,
                        &course,
                        Some(Rate::c_per_h(rates[spot.0])),
                        holds[spot.1],
                        guess,
                    )?;
                    known.insert(spot, end);
                }
                let score = |s: &(usize, usize)| known.get(s).map_or(f64::INFINITY, |e| e.score);
                if score(&spot) < score(&best) - 1e-9 {
                    best = spot;
                }
            }
            if let Some(e) = known.get(&best) {
                guess = e.target;
            }
            if best == at {
                break;
            }
            at = best;
        }
        let Some(end) = known.get(&at) else {
            return Ok(None);
        };
        let why = self.why(&known, at);
        self.set(plan, end.rate, end.target, end.hold);
        if let Some(segment) = plan.segments.get_mut(self.peak) {
            segment.reason = format!(
                "The last {}: peak, rate and hold are worked out together, so that the middle of the kiln gets cone \
                 {}. {why}",
                self.studio.shown.difference(super::segments::LAST),
                plan.cone
            );
        }
        let limit = self.limit();
        if end.target >= limit && end.off.abs() > NEAR {
            plan.notes.push(format!(
                "The peak is held down to {}, the most that the nameplate allows.",
                self.studio.shown.temperature(limit)
            ));
        }
        Ok(Some(Found { score: end.score }))
    }

    /// Sets only the peak, when the middle would be further off than this many cones; says what was changed.
    pub fn mend(&self, plan: &mut FiringPlan, off: f64) -> Result<Option<String>, NotPlanned> {
        let Some(first) = plan.segments.get(self.peak).cloned() else {
            return Ok(None);
        };
        let mut course = Course::new(self.model, Accuracy::USUAL)?;
        course.through(plan, self.peak)?;
        let rate = first.rate;
        let (was, _, _) = self.fire(plan, &course, rate, first.target, first.hold)?;
        if was.abs() <= off {
            return Ok(None);
        }
        let end = self.solve(plan, &course, rate, first.hold, first.target)?;
        self.set(plan, rate, end.target, first.hold);
        let why = format!("The middle of the kiln then gets cone {}.", plan.cone);
        if let Some(s) = plan.segments.get_mut(self.peak) {
            s.reason.clone_from(&why);
        }
        let shown = self.studio.shown;
        Ok((end.target != first.target).then(|| {
            format!(
                "Segment {}: peak {} in place of {}. {why}",
                self.peak + 1,
                shown.temperature(end.target),
                shown.temperature(first.target)
            )
        }))
    }

    /// Holds to try, in whole steps of the controller, rising.
    fn holds(&self) -> Vec<Span> {
        let step_s = self.kiln.controller.hold_step.to_s().max(1.0);
        let whole = |min: f64| Span::s((min * 60.0 / step_s).round().max(1.0) * step_s);
        let mut all: Vec<Span> = HOLDS.into_iter().map(whole).collect();
        all.dedup();
        all
    }

    fn limit(&self) -> Temperature {
        Temperature::c(self.kiln.max_temperature.to_c().floor())
    }

    fn set(&self, plan: &mut FiringPlan, rate: Option<Rate>, target: Temperature, hold: Span) {
        if let Some(segment) = plan.segments.get_mut(self.peak) {
            (segment.rate, segment.target, segment.hold) = (rate, target, hold);
        }
        if let Some((drop, segment)) = self.drop_hold.zip(plan.segments.get_mut(self.peak + 1)) {
            segment.target = whole_c(target - drop.by);
        }
    }

    /// The peak that brings the middle's cone down at this rate and hold.
    fn solve(
        &self,
        plan: &mut FiringPlan,
        before: &Course<'_>,
        rate: Option<Rate>,
        hold: Span,
        guess: Temperature,
    ) -> Result<End, NotPlanned> {
        let limit = self.limit();
        let mut target = guess.min(limit);
        let (mut off, _, _) = self.fire(plan, before, rate, target, hold)?;
        let mut per_k = 1.0 / CONE_K;
        for _ in 0..TRIES {
            if off.abs() < EXACT || (target >= limit && off < 0.0) {
                break;
            }
            let stride = (-off / per_k).clamp(-STRIDE_K, STRIDE_K);
            let next = Temperature::k(target.to_k() + stride).min(limit);
            let (next_off, _, _) = self.fire(plan, before, rate, next, hold)?;
            let (moved, gained) = ((next - target).to_k(), next_off - off);
            if moved.abs() > 1e-6 && gained / moved > 1e-4 {
                per_k = gained / moved;
            }
            // At full power a higher peak gains nothing more.
            let stuck = moved > 1.0 && gained < 1e-3;
            (target, off) = (next, next_off);
            if stuck {
                break;
            }
        }
        let target = whole_c(target);
        let (off, forecast, kept) = self.fire(plan, before, rate, target, hold)?;
        let hours = forecast.peak_over(plan).unwrap_or(forecast.firing_s).to_h();
        let (_, beyond) = apart(plan, &forecast);
        let missed = MISSED * (off.abs() - NEAR).max(0.0);
        let score = if kept {
            self.wishes
                .score(plan, &forecast, &self.studio.tariff, hours)
                + missed
        } else {
            f64::INFINITY
        };
        Ok(End {
            rate,
            target,
            hold,
            score,
            off,
            beyond,
            kept,
        })
    }

    /// One firing: how many cones too far the middle gets, what is foreseen, and whether the rate is kept.
    fn fire(
        &self,
        plan: &mut FiringPlan,
        before: &Course<'_>,
        rate: Option<Rate>,
        target: Temperature,
        hold: Span,
    ) -> Result<(f64, Forecast, bool), NotPlanned> {
        self.set(plan, rate, target, hold);
        let after = plan.segments.iter().skip(self.peak + 1);
        let hot = self.peak + 1 + after.take_while(|s| s.target > target - COOL).count();
        let mut course = before.clone();
        course.through(plan, hot)?;
        let (forecast, late, _) = course.end(plan, &self.studio.tariff, Extent::Firing)?;
        let zone = forecast.zones.get(self.model.reference_zone());
        let position = zone.map_or(-22.0, |z| z.cone_position);
        let reached = forecast.segments_over_s.len() > self.peak;
        let kept = reached && !late.iter().any(|l| l.segment == self.peak);
        Ok((position - plan.cone.position(), forecast, kept))
    }

    /// What keeps the end from being better.
    fn why(&self, known: &BTreeMap<(usize, usize), End>, at: (usize, usize)) -> String {
        let here = known.get(&at);
        let next = |dr: isize, dh: isize| {
            let spot = (at.0.checked_add_signed(dr)?, at.1.checked_add_signed(dh)?);
            known.get(&spot)
        };
        let beyond = |e: Option<&End>| e.is_some_and(|e| e.beyond > here.map_or(0.0, |h| h.beyond));
        let weak = next(-1, 0).is_some_and(|e| !e.kept);
        match self.wishes.aim {
            Aim::Evenest => format!(
                "Slower or longer would bring the tiers together by less than {} of a cone for each hour.",
                "1/50"
            ),
            _ if beyond(next(-1, 0)) || beyond(next(0, -1)) => {
                "Faster or with a shorter hold, a tier would miss its cone by more than half a cone.".into()
            }
            _ if weak => "This kiln with this load keeps no faster rate: its power sets it.".into(),
            Aim::Cheapest => "Any other rate or hold would cost more.".into(),
            Aim::Soonest => "No rate and hold that are usual here get there sooner.".into(),
        }
    }
}

fn shifted(at: usize, by: isize, len: usize) -> Option<usize> {
    at.checked_add_signed(by).filter(|i| *i < len)
}
