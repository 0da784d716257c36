//! What to do about the end of a firing: the hold or the peak that brings the middle of the kiln to its cone.

use glost_model::firing::FiringPlan;
use glost_model::shown::{Shown, hours};
use glost_model::{Span, TempDiff, Temperature};

use super::ahead::{From, NotForeseen};
use super::estimate::{Advice, AdviceKind};
use super::track::Phase;
use crate::kiln::{Extent, KilnModel};

/// Nearer to the cone than this nothing is worth changing, in cones: half of what is read off a witness cone.
const NEAR: f64 = 0.15;
/// Advice begins when the end of the peak is nearer than this. Proposed here: the hours that studios attend.
const SOON: Span = Span::h(2.5);
/// Longer holds are not advised, and no higher peak than this above the programme's. Proposed here.
const LONGEST: Span = Span::minutes(90.0);
const HIGHEST: TempDiff = TempDiff::k(30.0);
/// Answers are sought to this.
const TRIES: usize = 7;

/// Seeks it. Nothing while the end is far off, or past.
///
/// # Errors
/// [`NotForeseen`].
pub fn advice(
    from: &From<'_>,
    off: &[f64],
    sensor: Temperature,
    now_s: f64,
    shown: Shown,
) -> Result<Option<Advice>, NotForeseen> {
    let track = from.track;
    let Some(peak) = from.plan.peak() else {
        return Ok(None);
    };
    if track.phase == Phase::Over || track.segment > peak {
        return Ok(None);
    }
    let plan = from.plan_from_here();
    let model = from.model(off)?;
    let ask = Ask {
        from,
        off,
        model: &model,
        peak,
    };
    let (cone, ends_s) = ask.at(&plan)?;
    let soon = ends_s.is_some_and(|e| e - now_s < SOON.to_s());
    // A kiln that never gets there is worth a word once it is at its last segment.
    if !(soon || ends_s.is_none() && track.segment == peak) {
        return Ok(None);
    }
    let wanted = from.plan.cone.position();
    let (what, foreseen) = if (cone - wanted).abs() <= NEAR {
        (AdviceKind::AsPlanned, cone)
    } else if cone > wanted {
        ask.less(&plan, wanted, sensor)?
    } else {
        ask.more(&plan, wanted)?
    };
    Ok(Some(Advice {
        words: words(what, from.plan, cone, foreseen, shown),
        what,
    }))
}

struct Ask<'a> {
    from: &'a From<'a>,
    off: &'a [f64],
    model: &'a KilnModel,
    peak: usize,
}

impl Ask<'_> {
    /// Cone of the middle, and the end of the peak, s.
    fn at(&self, plan: &FiringPlan) -> Result<(f64, Option<f64>), NotForeseen> {
        let future = self
            .from
            .future_in(self.model, self.off, plan, Extent::Firing)?;
        let cone = future.cones.get(self.model.reference_zone()).copied();
        let behind = self.peak - self.from.track.segment;
        let over = future.forecast.segments_over_s.get(behind);
        Ok((cone.unwrap_or(f64::NAN), over.map(|s| s.to_s())))
    }

    fn with(&self, plan: &FiringPlan, target: Temperature, hold: Span) -> FiringPlan {
        let mut changed = plan.clone();
        if let Some(s) = changed.segments.get_mut(self.peak) {
            s.target = target;
            s.hold = hold;
        }
        changed
    }

    /// Shorter, or ended lower.
    fn less(
        &self,
        plan: &FiringPlan,
        wanted: f64,
        sensor: Temperature,
    ) -> Result<(AdviceKind, f64), NotForeseen> {
        let Some((target, hold)) = plan.segments.get(self.peak).map(|s| (s.target, s.hold)) else {
            return Ok((AdviceKind::AsPlanned, wanted));
        };
        let holding = self.from.track.segment == self.peak
            && matches!(self.from.track.phase, Phase::Hold { .. });
        let (none, _) = self.at(&self.with(plan, target, Span::ZERO))?;
        if none <= wanted || holding {
            let of = |share: f64| self.at(&self.with(plan, target, hold * share)).map(|a| a.0);
            let (share, cone) = seek(wanted, of)?;
            return Ok((AdviceKind::EndHoldIn(hold * share), cone));
        }
        let from = sensor.min(target);
        let of = |share: f64| {
            let end = from + (target - from) * share;
            self.at(&self.with(plan, end, Span::ZERO)).map(|a| a.0)
        };
        let (share, cone) = seek(wanted, of)?;
        Ok((AdviceKind::EndAt(from + (target - from) * share), cone))
    }

    /// Longer, or higher.
    fn more(&self, plan: &FiringPlan, wanted: f64) -> Result<(AdviceKind, f64), NotForeseen> {
        let Some((target, hold)) = plan.segments.get(self.peak).map(|s| (s.target, s.hold)) else {
            return Ok((AdviceKind::OutOfReach, f64::NAN));
        };
        let long = |share: f64| {
            self.at(&self.with(plan, target, hold + LONGEST * share))
                .map(|a| a.0)
        };
        let (share, cone) = seek(wanted, long)?;
        if share < 1.0 {
            return Ok((AdviceKind::HoldLonger(LONGEST * share), cone));
        }
        let high = |share: f64| {
            self.at(&self.with(plan, target + HIGHEST * share, hold))
                .map(|a| a.0)
        };
        let (share, cone) = seek(wanted, high)?;
        Ok(if share < 1.0 {
            (AdviceKind::RaiseTo(target + HIGHEST * share), cone)
        } else {
            (AdviceKind::OutOfReach, cone)
        })
    }
}

/// The share between 0 and 1 at which something that rises is as wanted; 1 when it is never.
fn seek(
    wanted: f64,
    of: impl Fn(f64) -> Result<f64, NotForeseen>,
) -> Result<(f64, f64), NotForeseen> {
    let most = of(1.0)?;
    if most < wanted {
        return Ok((1.0, most));
    }
    let (mut low, mut high, mut found) = (0.0, 1.0, most);
    for _ in 0..TRIES {
        let middle = (low + high) / 2.0;
        let here = of(middle)?;
        if here < wanted {
            low = middle;
        } else {
            high = middle;
            found = here;
        }
    }
    Ok((high, found))
}

fn words(what: AdviceKind, plan: &FiringPlan, cone: f64, then: f64, shown: Shown) -> String {
    let wanted = plan.cone;
    let as_it_is = format!(
        "as it is set, the middle of the kiln gets cone {}",
        ladder(cone)
    );
    let minutes = |span: Span| hours(Span::minutes(span.to_minutes().round().max(1.0)));
    match what {
        AdviceKind::AsPlanned => format!("Let it run: {as_it_is}."),
        AdviceKind::EndHoldIn(span) if span.to_minutes() < 1.5 => {
            format!("End the hold now for cone {wanted}: {as_it_is}.")
        }
        AdviceKind::EndHoldIn(span) => format!(
            "End the hold in {} for cone {wanted}: {as_it_is}.",
            minutes(span)
        ),
        AdviceKind::HoldLonger(span) => {
            format!(
                "Hold {} longer for cone {wanted}: {as_it_is}.",
                minutes(span)
            )
        }
        AdviceKind::EndAt(at) => format!(
            "End the firing without a hold at {} for cone {wanted}: {as_it_is}.",
            shown.temperature(at)
        ),
        AdviceKind::RaiseTo(at) => format!(
            "Raise the peak to {} for cone {wanted}: {as_it_is}.",
            shown.temperature(at)
        ),
        AdviceKind::OutOfReach => format!(
            "Cone {wanted} is out of reach: {as_it_is}, and with {} more at the peak cone {}.",
            shown.difference(HIGHEST),
            ladder(then)
        ),
    }
}

/// A place on the ladder as people say it.
fn ladder(position: f64) -> String {
    if position.is_finite() && position >= -21.0 {
        crate::Place::At(position).to_string()
    } else {
        crate::Place::Below.to_string()
    }
}
