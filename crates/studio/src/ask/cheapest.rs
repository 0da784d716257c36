//! The cheapest start under prices by the hour, with somebody there at the end of the peak.

use glost_model::doubt::Band;
use glost_model::hours::Hours;
use glost_model::studio::Studio;
use glost_model::{Money, Span};
use jiff::{ToSpan as _, Unit, ZonedDateTime, ZonedDateTimeRound};

use super::moment::later;
use super::told::Times;
use super::{Foretold, Question};

/// Whether somebody is there at a moment that is not known exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum There {
    /// Nobody by the forecast.
    Nobody,
    /// Somebody by the forecast, not over all of the band.
    Likely,
    /// Somebody, early or late.
    Surely,
}

impl There {
    pub(super) fn of(hours: &Hours, times: &Times) -> Self {
        let at = |t: &Option<ZonedDateTime>| t.as_ref().is_some_and(|t| there(hours, t));
        match (at(&times.about), at(&times.low) && at(&times.high)) {
            (false, _) => Self::Nobody,
            (true, false) => Self::Likely,
            (true, true) => Self::Surely,
        }
    }
}

/// Whether somebody is there.
pub(super) fn there(hours: &Hours, at: &ZonedDateTime) -> bool {
    let shift = hours.shift(at.date());
    shift.is_some_and(|s| (s.from..=s.to).contains(&at.time()))
}

/// The cheapest start.
#[derive(Debug, Clone, PartialEq)]
pub struct Cheapest {
    /// When.
    pub start: ZonedDateTime,
    /// What it costs by the forecast, without the highest draw, which is the same at all hours.
    pub cost: Money,
    /// Over the draws.
    pub band: Band<Money>,
    /// The cheapest start of all that were looked at, whoever is there, and what it costs.
    pub least: (ZonedDateTime, Money),
    /// What the dearest start costs that was looked at.
    pub dearest: Money,
    /// The hold at the peak is over then.
    pub peak_over: Option<ZonedDateTime>,
    /// Whether somebody is there then; of such starts the cheapest was taken, if there was any.
    pub there: There,
    /// Somebody is there to start it, or the controller starts by itself.
    pub can_start: bool,
    /// How far was looked ahead.
    pub ahead: Span,
}

/// Starts are tried at every quarter of an hour.
const STEP_MINUTES: i64 = 15;

/// The best of all starts from now on. One that somebody can make comes before one that nobody can, then one with
/// somebody there at the end of the peak, then the cheaper, then the sooner.
pub(super) fn cheapest(
    studio: &Studio,
    question: &Question,
    planned: &Foretold,
) -> Option<Cheapest> {
    let (tariff, hours) = (&studio.tariff, &studio.hours);
    let first = question.now.round(
        ZonedDateTimeRound::new()
            .smallest(Unit::Minute)
            .increment(STEP_MINUTES)
            .mode(jiff::RoundMode::Ceil),
    );
    let last = later(&question.now, question.ahead)?;
    let drawn = planned.forecast.drawn();
    let over = planned.forecast.peak_over(&planned.firing);
    let band = planned.all.times(|d| d.peak_over);
    let mut at = first.ok()?;
    let mut best: Option<(bool, There, Money, ZonedDateTime)> = None;
    let mut dearest = Money::default();
    let mut least: Option<(ZonedDateTime, Money)> = None;
    while at <= last {
        let cost = tariff.cost_from(&at, &drawn);
        dearest = dearest.max(cost);
        if least.as_ref().is_none_or(|(_, m)| cost < *m) {
            least = Some((at.clone(), cost));
        }
        let can = hours.delayed_start || there(hours, &at);
        let times = Times {
            about: over.and_then(|s| later(&at, s)),
            low: band.low.and_then(|s| later(&at, s)),
            high: band.high.and_then(|s| later(&at, s)),
        };
        let somebody = There::of(hours, &times);
        let better = best.as_ref().is_none_or(|(c, t, m, _)| {
            (can, somebody, std::cmp::Reverse(cost)) > (*c, *t, std::cmp::Reverse(*m))
        });
        if better {
            best = Some((can, somebody, cost, at.clone()));
        }
        at = at.checked_add(STEP_MINUTES.minutes()).ok()?;
    }
    let (can_start, there, cost, start) = best?;
    Some(Cheapest {
        band: planned
            .all
            .money(|d| tariff.cost_from(&start, &d.forecast.drawn())),
        peak_over: over.and_then(|s| later(&start, s)),
        start,
        cost,
        least: least?,
        dearest,
        there,
        can_start,
        ahead: question.ahead,
    })
}
