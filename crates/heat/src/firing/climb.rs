//! The way up and down: as fast as this kiln with this load keeps and its ware stands.

use glost_model::firing::{FiringPlan, Segment};
use glost_model::forecast::Forecast;
use glost_model::studio::Studio;
use glost_model::{Rate, Span, TempDiff, Temperature};

use super::aim::Aim;
use super::ends::Ends;
use super::limits::{Broken, Cap, broken};
use super::{NotPlanned, whole_c};
use crate::kiln::{Extent, KilnModel, in_detail, simulate};

/// Rates are lowered at most so often.
const LOWERINGS: usize = 8;
/// A kiln that lags by this much no longer keeps its rate.
const LAGS: TempDiff = TempDiff::k(12.0);
/// Shorter stretches are not parted.
const LONG: TempDiff = TempDiff::k(60.0);
/// A rate that ware was a little too fast at is lowered by this.
const A_LITTLE: f64 = 0.9;
/// Slowest rate, °C/h.
const SLOWEST_C_PER_H: f64 = 5.0;
/// The closed kiln falls freely to so much above where ware must cool slowly, and slowly to so much below.
const AROUND: TempDiff = TempDiff::k(25.0);
/// Shares of the rates that are tried where the highest draw is paid for.
const SLOWER: [f64; 4] = [0.85, 0.7, 0.55, 0.4];

/// Rates that are sought.
pub struct Climb<'a> {
    pub model: &'a KilnModel,
    pub studio: &'a Studio,
    pub most_segments: usize,
    pub caps: &'a [Cap],
    /// Number of the segment that ends at the peak.
    pub peak: usize,
}

impl Climb<'_> {
    /// Lets the kiln climb at full power where it cannot keep a rate, and lowers rates that the ware would not
    /// stand, in whole 5 °C/h, so that the controller has not to wait.
    pub fn rates(&mut self, plan: &mut FiringPlan) -> Result<(), NotPlanned> {
        for _ in 0..LOWERINGS {
            let (forecast, late) =
                in_detail(self.model, plan, &self.studio.tariff, Extent::Firing)?;
            let mut changed = false;
            for l in late.iter().rev() {
                let kept = (Rate::k_per_s(l.kept).to_c_per_h() / 5.0).floor() * 5.0;
                if l.segment < self.peak {
                    changed |= self.at_full_power(plan, &forecast, l.segment, kept);
                } else if kept >= SLOWEST_C_PER_H
                    && let Some(s) = plan.segments.get_mut(l.segment)
                {
                    s.rate = Some(Rate::c_per_h(kept));
                    changed = true;
                }
            }
            if !changed {
                for b in broken(self.caps, &forecast.samples) {
                    changed |= !b.cap.cooling() && self.heed(plan, &forecast, &b).is_some();
                }
            }
            if !changed {
                break;
            }
        }
        Ok(())
    }

    /// From where the kiln no longer keeps the rate of a segment it goes on at full power; where the controller has
    /// no room for that, at the rate that the kiln keeps.
    fn at_full_power(
        &mut self,
        plan: &mut FiringPlan,
        forecast: &Forecast,
        at: usize,
        kept: f64,
    ) -> bool {
        let before = at.checked_sub(1);
        let from = before
            .and_then(|i| plan.segments.get(i))
            .map_or(self.model.input.room, |s| s.target);
        let since = before.and_then(|i| forecast.segments_over_s.get(i).copied());
        let lags = forecast.samples.iter().find(|s| {
            since.is_none_or(|t| s.time_s > t)
                && s.set_point_c.is_some_and(|set| set - s.sensor_c > LAGS)
        });
        let room = plan.segments.len() < self.most_segments;
        let Some(s) = plan.segments.get_mut(at) else {
            return false;
        };
        let Some(stood) = s.rate else { return false };
        let behind = whole_c(lags.map_or(from, |s| s.sensor_c));
        let power = format!(
            "This kiln with this load is at full power here and keeps about {}: its power sets the rate; the ware would \
             stand {}.",
            self.studio.shown.rate(Rate::c_per_h(kept)),
            self.studio.shown.rate(stood)
        );
        if behind - from < LONG || s.target - behind < LONG {
            s.rate = None;
        } else if room {
            let first = Segment {
                target: behind,
                hold: Span::ZERO,
                ..s.clone()
            };
            s.rate = None;
            s.reason = if s.hold > Span::ZERO {
                format!("{} {power}", s.reason)
            } else {
                power
            };
            plan.segments.insert(at, first);
            self.peak += 1;
            return true;
        } else if kept >= SLOWEST_C_PER_H {
            s.rate = Some(Rate::c_per_h(kept));
        } else {
            return false;
        }
        s.reason = if s.hold > Span::ZERO {
            format!("{} {power}", s.reason)
        } else {
            power
        };
        true
    }

    /// Lowers the rate of the segment in which a limit is broken; which one, if that helps.
    fn heed(&self, plan: &mut FiringPlan, forecast: &Forecast, b: &Broken) -> Option<usize> {
        let over = |end: &Span| *end > b.at;
        let number = forecast.segments_over_s.iter().position(over)?;
        let s = plan.segments.get_mut(number)?;
        let now = s.rate.map_or(f64::INFINITY, |r| r.to_c_per_h());
        let cap = b.cap.c_per_h();
        let lower = if now > cap {
            cap
        } else {
            (now * A_LITTLE).floor()
        };
        if lower < SLOWEST_C_PER_H || lower >= now {
            return None;
        }
        s.rate = Some(Rate::c_per_h(lower));
        s.reason.clone_from(&b.cap.why);
        Some(number)
    }

    /// Foresees the whole firing, and slows the cooling where the closed kiln would cool too fast for the ware.
    pub fn cool(&self, plan: &mut FiringPlan) -> Result<Forecast, NotPlanned> {
        let whole =
            |plan: &FiringPlan| simulate(self.model, plan, &self.studio.tariff, Extent::Cooling);
        let forecast = whole(plan)?;
        let Some(b) = broken(self.caps, &forecast.samples)
            .into_iter()
            .find(|b| b.cap.cooling() && b.cap.to > plan_end(self.model))
        else {
            return Ok(forecast);
        };
        let slow = Segment {
            rate: Some(b.cap.rate),
            target: whole_c(b.cap.to - AROUND),
            hold: Span::ZERO,
            reason: b.cap.why.clone(),
        };
        let free = Segment {
            rate: None,
            target: whole_c(b.cap.from + AROUND),
            hold: Span::ZERO,
            reason: "Falls freely.".into(),
        };
        let falls = plan.segments.last().is_some_and(|s| s.target > free.target);
        if !falls || plan.segments.len() + 2 > self.most_segments {
            plan.notes.push(format!(
                "{} The controller has no room for a slow cooling here: raise that piece on supports or fire it apart.",
                b.words(self.studio.shown)
            ));
            return Ok(forecast);
        }
        plan.segments.extend([free, slow]);
        Ok(whole(plan)?)
    }

    /// Mends segments of somebody's own with as few changes as may be: the rates of those in which a limit is
    /// broken. Says which.
    pub fn mend(&self, plan: &mut FiringPlan) -> Result<Vec<String>, NotPlanned> {
        let mut changed: Vec<(usize, Option<Rate>)> = Vec::new();
        for _ in 0..LOWERINGS {
            let forecast = simulate(self.model, plan, &self.studio.tariff, Extent::Firing)?;
            let mut any = false;
            for b in broken(self.caps, &forecast.samples) {
                let before: Vec<Option<Rate>> = plan.segments.iter().map(|s| s.rate).collect();
                if b.cap.cooling() {
                    continue;
                }
                if let Some(number) = self.heed(plan, &forecast, &b) {
                    any = true;
                    if changed.iter().all(|c| c.0 != number) {
                        changed.push((number, before.get(number).copied().flatten()));
                    }
                }
            }
            if !any {
                break;
            }
        }
        let shown = self.studio.shown;
        let words = changed.into_iter().filter_map(|(number, was)| {
            let s = plan.segments.get(number)?;
            let was = was.map_or_else(|| "as fast as it can".to_owned(), |r| shown.rate(r));
            Some(format!(
                "Segment {}: {} in place of {was}. {}",
                number + 1,
                shown.rate(s.rate?),
                s.reason
            ))
        });
        Ok(words.collect())
    }
}

/// Below this a kiln is about to be opened, and cools as people let it.
fn plan_end(model: &KilnModel) -> Temperature {
    model.input.opening.plugs
}

/// Seeks the end of the climb; where the highest draw is paid for, slower climbs are tried as well.
pub fn cheaper(plan: &mut FiringPlan, ends: &Ends<'_>) -> Result<(), NotPlanned> {
    let climb = plan.clone();
    let Some(first) = ends.search(plan)? else {
        return Ok(());
    };
    if ends.wishes.aim != Aim::Cheapest || ends.studio.tariff.per_kw <= 0.0 {
        return Ok(());
    }
    let mut least = first.score;
    for share in SLOWER {
        let mut trial = climb.clone();
        for s in trial.segments.iter_mut().take(ends.peak) {
            if let Some(rate) = s.rate {
                let slower = (rate.to_c_per_h() * share / 5.0).ceil() * 5.0;
                if slower < rate.to_c_per_h() {
                    s.rate = Some(Rate::c_per_h(slower));
                    s.reason =
                        "Slower than ware and kiln allow: the highest draw is paid for.".into();
                }
            }
        }
        if let Some(found) = ends.search(&mut trial)?
            && found.score < least
        {
            least = found.score;
            *plan = trial;
        }
    }
    Ok(())
}
