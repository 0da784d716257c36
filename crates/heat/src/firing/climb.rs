//! The way up and down: as fast as this kiln with this load keeps and its ware stands.

use glost_model::firing::{Aim, FiringPlan, Segment};
use glost_model::forecast::Forecast;
use glost_model::studio::Studio;
use glost_model::{Rate, Span, TempDiff, Temperature};

use super::ends::Ends;
use super::limits::{Broken, Cap, broken};
use super::stretch::{Stretch, Way, part};
use super::{NotPlanned, whole_c};
use crate::kiln::{Extent, KilnModel, in_detail, simulate};

/// Rates are lowered at most so often.
const LOWERINGS: usize = 12;
/// A rate that ware was a little too fast at is lowered by this.
const A_LITTLE: f64 = 0.9;
/// Full power takes over where it is within this of a limit: controllers swing as much.
const NEARLY: f64 = 1.06;
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
        // Ends of segments that ware does not stand full power in.
        let mut minded: Vec<Temperature> = Vec::new();
        for _ in 0..LOWERINGS {
            let (forecast, late) =
                in_detail(self.model, plan, &self.studio.tariff, Extent::Firing)?;
            let mut changed = false;
            for l in late.iter().rev() {
                let kept = (Rate::k_per_s(l.kept).to_c_per_h() / 5.0).floor() * 5.0;
                if l.segment < self.peak {
                    changed |= self.at_full_power(plan, l.segment, kept, &minded);
                } else if kept >= SLOWEST_C_PER_H
                    && let Some(s) = plan.segments.get_mut(l.segment)
                {
                    s.rate = Some(Rate::c_per_h(kept));
                    changed = true;
                }
            }
            if !changed {
                for b in broken(self.caps, &forecast.samples) {
                    if b.cap.cooling() {
                        continue;
                    }
                    let lowered = self.heed(plan, &forecast, &b);
                    changed |= lowered.is_some();
                    minded.extend(lowered.and_then(|i| plan.segments.get(i)).map(|s| s.target));
                }
            }
            if !changed {
                break;
            }
        }
        Ok(())
    }

    /// Lets a segment whose rate the kiln does not keep go at full power, or at the rate that the kiln keeps where
    /// the ware minds full power.
    fn at_full_power(
        &self,
        plan: &mut FiringPlan,
        at: usize,
        kept: f64,
        minded: &[Temperature],
    ) -> bool {
        let Some(s) = plan.segments.get_mut(at) else {
            return false;
        };
        let Some(stood) = s.rate else { return false };
        let rate = if minded.contains(&s.target) {
            if kept < SLOWEST_C_PER_H {
                return false;
            }
            Some(Rate::c_per_h(kept))
        } else {
            None
        };
        s.rate = rate;
        s.reason = format!(
            "This kiln with this load is at full power here and keeps about {}: its power sets the rate; the ware would \
             stand {}.",
            self.studio.shown.rate(Rate::c_per_h(kept)),
            self.studio.shown.rate(stood)
        );
        true
    }

    /// Lowers the rate where a limit is broken, and only there if the controller has room; which segment, if that
    /// helps.
    fn heed(&mut self, plan: &mut FiringPlan, forecast: &Forecast, b: &Broken) -> Option<usize> {
        let stretch = Stretch::at(plan, forecast, self.model.input.room, b.at)?;
        let now = Way::of(plan.segments.get(stretch.number)?);
        let slower = self.slower(now.rate, &b.cap)?;
        let room = plan.segments.len() < self.most_segments;
        let (at, ways) = match now.rate {
            // Full power is too much only at first.
            None => (stretch.no_faster_from(b.cap.rate * NEARLY), [slower, now]),
            // The kiln lagged, and hurried to catch up.
            Some(rate) if rate.to_c_per_h() <= b.cap.c_per_h() => {
                (stretch.lagged_before(b.at), [now, slower])
            }
            Some(_) => (None, [slower, now]),
        };
        let (number, more) = part(plan, &stretch, at, ways, room)?;
        self.peak += usize::from(more);
        Some(number)
    }

    /// The cap's own rate, or, when a segment goes no faster than that and its kiln still does, a little less.
    fn slower(&self, now: Option<Rate>, cap: &Cap) -> Option<Way> {
        let was = now.map_or(f64::INFINITY, Rate::to_c_per_h);
        let (lower, reason) = match now {
            Some(rate) if was <= cap.c_per_h() => {
                let hurries = format!(
                    "{} At {} the kiln falls behind here, and then goes faster than that to catch up.",
                    cap.why,
                    self.studio.shown.rate(rate)
                );
                ((was * A_LITTLE).floor(), hurries)
            }
            _ => (cap.c_per_h(), cap.why.clone()),
        };
        (lower >= SLOWEST_C_PER_H && lower < was).then(|| Way {
            rate: Some(Rate::c_per_h(lower)),
            reason,
        })
    }

    /// Lowers the rate of the whole segment in which a limit is broken; which one, if that helps.
    fn lower(&self, plan: &mut FiringPlan, forecast: &Forecast, b: &Broken) -> Option<usize> {
        let stretch = Stretch::at(plan, forecast, self.model.input.room, b.at)?;
        let now = Way::of(plan.segments.get(stretch.number)?);
        let slower = self.slower(now.rate, &b.cap)?;
        part(plan, &stretch, None, [slower, now], false).map(|(number, _)| number)
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
                if let Some(number) = self.lower(plan, &forecast, &b) {
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
    let forecast = simulate(ends.model, &climb, &ends.studio.tariff, Extent::Firing)?;
    let kept = kept(&climb, &forecast, ends.model.input.room);
    for share in SLOWER {
        let mut trial = climb.clone();
        for (s, kept) in trial.segments.iter_mut().zip(&kept).take(ends.peak) {
            let slower = (kept.to_c_per_h() * share / 5.0).ceil() * 5.0;
            if slower < kept.to_c_per_h() {
                s.rate = Some(Rate::c_per_h(slower));
                s.reason = "Slower than ware and kiln allow: the highest draw is paid for.".into();
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

/// The rate that each segment has on its way to its target.
fn kept(plan: &FiringPlan, forecast: &Forecast, room: Temperature) -> Vec<Rate> {
    let (mut from, mut since) = (room, Span::ZERO);
    let each = plan.segments.iter().zip(&forecast.segments_over_s);
    each.map(|(s, over)| {
        let took_s = (*over - since - s.hold).to_s().max(1.0);
        let rate = Rate::k_per_s((s.target - from).to_k() / took_s);
        (from, since) = (s.target, *over);
        rate
    })
    .collect()
}
