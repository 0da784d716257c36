//! The estimate at a moment.

use std::sync::PoisonError;

use glost_model::doubt::{Band, TimeBand};
use glost_model::{Energy, Span, TempDiff, Temperature};

use super::Watch;
use super::advice::advice;
use super::ahead::{Future, at};
use super::estimate::{Advice, Estimate, Foreseen, Stage, TierNow};
use super::track::Phase;
use crate::doubt::band;
use crate::kiln::{Extent, Live};

/// What is ahead is worked out anew after this, s.
const ANEW_S: f64 = 600.0;
/// Instants of the curve.
const INSTANTS: usize = 160;
/// 10 and 90 % of the normal law lie so many deviations off.
const TENTH: f64 = 1.2816;

/// What is ahead, as it was worked out last.
#[derive(Debug, Clone, PartialEq)]
pub struct Ahead {
    at_s: f64,
    segment: usize,
    phase_over: bool,
    alarms: usize,
    middle: Option<Future>,
    drawn: Vec<Future>,
    advice: Option<Advice>,
}

fn band_of((mean, deviation): (f64, f64)) -> Band<f64> {
    Band {
        low: mean - TENTH * deviation,
        middle: mean,
        high: mean + TENTH * deviation,
    }
}

/// All of it.
pub fn estimate(watch: &Watch) -> Estimate {
    let ahead = fresh(watch);
    let now_s = watch.now_s();
    let kilns = &watch.kilns;
    let model = kilns.middle().model();
    let figure = |of: &dyn Fn(&Live) -> f64| {
        let (here, slopes) = kilns.figure(of);
        band_of(watch.off.figure(here, &slopes))
    };
    let tiers: Vec<TierNow> = (0..model.zones.len())
        .map(|z| TierNow {
            tiers: model
                .zones
                .get(z)
                .map_or_else(String::new, |z| z.tiers.clone()),
            ware: figure(&|l| l.ware_k(z)).map(Temperature::k),
            cone: figure(&|l| l.cones().position(z)).map(|p| p.clamp(-22.0, 14.0)),
            cone_foreseen: cone_foreseen(&ahead, z),
        })
        .collect();
    let by_heat = |a: &(usize, &TierNow), b: &(usize, &TierNow)| {
        let (a, b) = (a.1.ware.middle.to_k(), b.1.ware.middle.to_k());
        a.total_cmp(&b)
    };
    let coldest = tiers
        .iter()
        .enumerate()
        .min_by(by_heat)
        .map_or(0, |(i, _)| i);
    let hottest = tiers
        .iter()
        .enumerate()
        .max_by(by_heat)
        .map_or(0, |(i, _)| i);
    let energy = figure(&|l| l.energy_j()).map(|j| Energy::j(j.max(0.0)));
    let over = watch.track.phase == Phase::Over;
    let share = watch.past.last().map_or(0.0, |s| s.share);
    Estimate {
        at: watch.told.map_or(watch.at(now_s.max(0.0)), |(at, _)| at),
        since_on: watch.since_on(),
        sensor_told: watch.told.map(|(_, t)| t),
        sensor_believed: figure(&|l| l.tip_k()).map(Temperature::k),
        set_point: (!over).then(|| Temperature::k(watch.track.set_k)),
        set_point_told: watch.track.told,
        coldest,
        hottest,
        middle: model.reference_zone(),
        cone: watch.ask.plan.cone,
        stage: stage(watch, &tiers),
        ends_in: times(&ahead, now_s, |f| f.ends_s),
        may_open_in: times(&ahead, now_s, |f| f.open_s),
        open_below: watch.ask.kiln.opening.open,
        energy_left: energy_left(&ahead, energy.middle),
        energy_so_far: energy,
        power_share: band_of((share.max(0.0), share_doubt(watch))),
        power_of_kiln: power(watch),
        curve: curve(&ahead, model.reference_zone(), now_s),
        advice: ahead.advice,
        alarms: watch.bell.alarms(|s| watch.at(s)),
        tiers,
    }
}

/// What is ahead, from what was worked out last if that is fresh.
fn fresh(watch: &Watch) -> Ahead {
    let now_s = watch.now_s();
    let over = watch.track.phase == Phase::Over;
    let alarms = watch.bell.count();
    let mut kept = watch.ahead.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some(known) = kept.as_ref()
        && now_s < known.at_s + ANEW_S
        && known.segment == watch.track.segment
        && known.phase_over == over
        && known.alarms == alarms
    {
        return known.clone();
    }
    let from = watch.from();
    let plan = from.plan_from_here();
    let off = &watch.off;
    let sensor = watch.told.map_or(watch.ask.kiln.room, |(_, t)| t);
    let found = Ahead {
        at_s: now_s,
        segment: watch.track.segment,
        phase_over: over,
        alarms,
        middle: from.future(&off.by, &plan, Extent::Cooling).ok(),
        drawn: from
            .drawn(&off.by, &off.covariance, &plan, watch.ask.seed)
            .unwrap_or_default(),
        // Without a forecast there is nothing to advise.
        advice: advice(&from, &off.by, sensor, now_s, watch.ask.kiln.shown).unwrap_or(None),
    };
    *kept = Some(found.clone());
    found
}

/// The band of the draws about the future of the kiln as believed.
fn spread(ahead: &Ahead, of: impl Fn(&Future) -> f64) -> Band<f64> {
    let drawn = band(ahead.drawn.iter().map(&of).collect());
    let Some(middle) = ahead.middle.as_ref().map(&of) else {
        return drawn;
    };
    if ahead.drawn.is_empty() {
        return Band {
            low: middle,
            middle,
            high: middle,
        };
    }
    Band {
        low: drawn.low.min(middle),
        middle,
        high: drawn.high.max(middle),
    }
}

fn times(ahead: &Ahead, now_s: f64, of: impl Fn(&Future) -> Option<f64>) -> TimeBand {
    let band = spread(ahead, |f| of(f).unwrap_or(f64::INFINITY));
    band.map(|s| s.is_finite().then(|| Span::s((s - now_s).max(0.0))))
}

fn cone_foreseen(ahead: &Ahead, zone: usize) -> Band<f64> {
    spread(ahead, |f| f.cones.get(zone).copied().unwrap_or(-22.0))
}

fn energy_left(ahead: &Ahead, so_far: Energy) -> Band<Energy> {
    let band = spread(ahead, |f| (f.energy_j - so_far.to_j()).max(0.0));
    band.map(Energy::j)
}

fn curve(ahead: &Ahead, zone: usize, now_s: f64) -> Vec<Foreseen> {
    let Some(future) = &ahead.middle else {
        return Vec::new();
    };
    let last = future
        .forecast
        .samples
        .last()
        .map_or(now_s, |s| s.time_s.to_s());
    let step_s = ((last - now_s) / INSTANTS as f64 / 60.0).ceil().max(1.0) * 60.0;
    let count = ((last - now_s) / step_s).ceil().max(0.0) as usize;
    (0..=count.min(INSTANTS))
        .filter_map(|i| {
            let after_s = i as f64 * step_s;
            let (sensor, ware) = at(&future.forecast, zone, now_s + after_s)?;
            Some(Foreseen {
                after: Span::s(after_s),
                sensor,
                ware,
            })
        })
        .collect()
}

fn share_doubt(watch: &Watch) -> f64 {
    let last = watch.evidence.told().last();
    last.map_or(0.05, |t| watch.off.figure(t.share, &t.slopes).1)
}

fn power(watch: &Watch) -> Band<f64> {
    let belief = watch.kilns.belief();
    let one = Band {
        low: 1.0,
        middle: 1.0,
        high: 1.0,
    };
    let Some(i) = belief.power() else {
        return one;
    };
    let mean = belief
        .mean()
        .get(i)
        .zip(watch.off.by.get(i))
        .map_or(0.0, |(m, o)| m + o);
    let variance = watch.off.covariance.get(i).and_then(|r| r.get(i)).copied();
    let left = 1.0 - watch.lost;
    band_of((mean, variance.unwrap_or(0.0).max(0.0).sqrt())).map(|v| v.exp() * left)
}

fn stage(watch: &Watch, tiers: &[TierNow]) -> Stage {
    let Some(last) = watch.past.last() else {
        return Stage::Waiting;
    };
    let segment = watch.track.segment;
    match watch.track.phase {
        Phase::Over => {
            let open = watch.ask.kiln.opening.open;
            let sensor = watch.told.map_or(Temperature::k(last.set_k), |(_, t)| t);
            let warmest = tiers
                .iter()
                .map(|t| t.ware.middle)
                .fold(sensor, Temperature::max);
            if warmest < open {
                Stage::MayBeOpened
            } else {
                Stage::Cooling
            }
        }
        Phase::Hold { left_s } => Stage::Holding {
            segment,
            left: Span::s(left_s),
        },
        _ if watch.bell.is_on(super::AlarmKind::PowerCut) => Stage::Cooling,
        _ => {
            let sensor = watch.told.map(|(_, t)| t);
            let target = watch.ask.plan.segments.get(segment).map(|s| s.target);
            let before = segment
                .checked_sub(1)
                .and_then(|i| watch.ask.plan.segments.get(i))
                .map(|s| s.target);
            let falls = match (target, before) {
                (Some(t), Some(b)) => t < b,
                (Some(t), None) => sensor.is_some_and(|s| t < s - TempDiff::k(5.0)),
                _ => false,
            };
            if falls {
                Stage::Falling { segment }
            } else {
                Stage::Climbing { segment }
            }
        }
    }
}
