//! A segment as it went: where its kiln lagged, and from where full power is no faster than the ware stands.

use glost_model::firing::{FiringPlan, Segment};
use glost_model::forecast::{Forecast, Sample};
use glost_model::{Rate, Span, TempDiff, Temperature};

use super::whole_c;

/// Rates are taken over this long.
const OVER: Span = Span::minutes(14.0);
/// A kiln that lags by this much, rising under the rate it is asked for, is short of power.
const LAGS: TempDiff = TempDiff::k(2.0);
/// Shorter stretches are not parted.
const LONG: TempDiff = TempDiff::k(60.0);
/// A neighbour is not moved by less.
const MOVED: TempDiff = TempDiff::k(1.0);

/// One segment's way up.
pub struct Stretch<'f> {
    /// Its number.
    pub number: usize,
    from: Temperature,
    samples: &'f [Sample],
}

/// How part of a stretch is to go.
#[derive(Debug, Clone)]
pub struct Way {
    /// `None` is full power.
    pub rate: Option<Rate>,
    /// What sets it.
    pub reason: String,
}

impl Way {
    /// As a segment goes now.
    pub fn of(s: &Segment) -> Self {
        Self {
            rate: s.rate,
            reason: s.reason.clone(),
        }
    }

    fn c_per_h(&self) -> f64 {
        self.rate.map_or(f64::INFINITY, Rate::to_c_per_h)
    }

    fn set(self, s: &mut Segment) {
        s.rate = self.rate;
        s.reason = self.reason;
    }
}

impl<'f> Stretch<'f> {
    /// The segment in which the firing is at a time.
    pub fn at(
        plan: &FiringPlan,
        forecast: &'f Forecast,
        room: Temperature,
        at: Span,
    ) -> Option<Self> {
        let overs = &forecast.segments_over_s;
        let number = overs.iter().position(|end| *end > at)?;
        let before = number.checked_sub(1);
        let since = before.and_then(|i| overs.get(i)).copied();
        let until = overs.get(number)?;
        let first = forecast
            .samples
            .partition_point(|s| since.is_some_and(|t| s.time_s < t));
        let last = forecast.samples.partition_point(|s| s.time_s <= *until);
        Some(Self {
            number,
            from: before
                .and_then(|i| plan.segments.get(i))
                .map_or(room, |s| s.target),
            samples: forecast.samples.get(first..last)?,
        })
    }

    /// From here on it never rises faster than this.
    pub fn no_faster_from(&self, rate: Rate) -> Option<Temperature> {
        let faster = |a: &Sample| {
            let later = self.samples.iter().find(|b| b.time_s >= a.time_s + OVER)?;
            let took_s = (later.time_s - a.time_s).to_s();
            let rises = (later.sensor_c - a.sensor_c).to_k() / took_s;
            Some(rises > rate.to_k_per_s())
        };
        let last = self.samples.iter().rposition(|a| faster(a) == Some(true))?;
        self.samples.get(last + 1).map(|s| s.sensor_c)
    }

    /// Where it began to lag before a time at which it hurried to catch up.
    pub fn lagged_before(&self, at: Span) -> Option<Temperature> {
        let lags = |s: &Sample| s.set_point_c.is_some_and(|set| set - s.sensor_c > LAGS);
        let until = self.samples.partition_point(|s| s.time_s <= at);
        let before = self.samples.get(..until)?;
        let kept = before.iter().rposition(|s| !lags(s))?;
        before.get(kept).map(|s| s.sensor_c)
    }
}

/// Parts a segment in two that each go their own way. Where a neighbour goes that way already its end is moved; a
/// stretch too short to be parted, or a controller without room, goes the slower way throughout. The number of the
/// segment that now goes the slower way, and whether there is one more of them.
pub fn part(
    plan: &mut FiringPlan,
    stretch: &Stretch<'_>,
    at: Option<Temperature>,
    ways: [Way; 2],
    room: bool,
) -> Option<(usize, bool)> {
    let number = stretch.number;
    let [first, then] = ways;
    let first_slower = first.c_per_h() < then.c_per_h();
    let target = plan.segments.get(number)?.target;
    let at = at
        .map(whole_c)
        .filter(|at| target - *at >= LONG && *at - stretch.from >= MOVED);
    if let Some(at) = at {
        let joins = |s: &Segment| s.rate == first.rate && s.hold <= Span::ZERO;
        if let Some(before) = number.checked_sub(1)
            && plan.segments.get(before).is_some_and(joins)
        {
            plan.segments.get_mut(before)?.target = at;
            then.set(plan.segments.get_mut(number)?);
            return Some((if first_slower { before } else { number }, false));
        }
        if room && at - stretch.from >= LONG {
            let s = plan.segments.get_mut(number)?;
            let mut head = Segment {
                target: at,
                hold: Span::ZERO,
                ..s.clone()
            };
            first.set(&mut head);
            then.set(s);
            plan.segments.insert(number, head);
            return Some((number + usize::from(!first_slower), true));
        }
    }
    let slower = if first_slower { first } else { then };
    slower.set(plan.segments.get_mut(number)?);
    Some((number, false))
}
