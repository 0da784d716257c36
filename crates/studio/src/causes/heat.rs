//! What each tier reached: by its cones, else by those of others or by the log, else as foreseen.

use glost_heat::{Clock, HeatWork, Place};
use glost_model::book::Firing;
use glost_model::forecast::{Forecast, ZoneResult};
use glost_model::{Span, Temperature};
use glost_rules::cause::{Bound, Heat, HeatBy};

/// Heat-work of one tier.
#[derive(Debug, Clone, PartialEq)]
pub struct TierHeat {
    /// Tier.
    pub tier: String,
    /// What it reached.
    pub heat: Heat,
}

/// A cone that moved less than this from upright, or is nearer to flat, only tells a bound; hours of the clock, read to
/// a quarter.
const NO_MORE_H: f64 = 0.25;

/// All tiers of which anything is known. Several cones on a tier: the one that bent and lies not flat tells most. What
/// is `bad` of the log is left out of it, and of the forecast beside it.
pub fn heats(
    firing: &Firing,
    forecast: Option<&Forecast>,
    log: Option<&[(Span, Temperature)]>,
    bad: &[(Span, Span)],
) -> Vec<TierHeat> {
    let mut all: Vec<TierHeat> = Vec::new();
    for read in &firing.cones {
        let hours = read.clock % 12.0;
        let Some(position) = Clock::read(hours).and_then(|c| c.place(read.cone)) else {
            continue;
        };
        let bound = match hours {
            h if h <= NO_MORE_H => Bound::AtMost,
            h if h >= 6.0 - NO_MORE_H => Bound::AtLeast,
            _ => Bound::Exact,
        };
        let here = TierHeat {
            tier: read.tier.clone(),
            heat: Heat {
                position,
                said: Place::At(position).to_string(),
                by: HeatBy::Cones,
                bound,
            },
        };
        match all.iter_mut().find(|t| t.tier == read.tier) {
            Some(known) if known.heat.bound != Bound::Exact => *known = here,
            Some(_) => {}
            None => all.push(here),
        }
    }
    let off = off_cones(&all, forecast)
        .or_else(|| Some((off_log(log?, forecast?, bad)?, HeatBy::Log)))
        .unwrap_or((0.0, HeatBy::Forecast));
    for zone in zones(forecast) {
        for tier in tiers(zone) {
            if !all.iter().any(|t| t.tier == tier) {
                all.push(TierHeat {
                    tier: tier.to_owned(),
                    heat: of_zone(zone, off),
                });
            }
        }
    }
    all.sort_by_key(|t| order(&t.tier));
    all
}

/// `2L` before `10`.
fn order(tier: &str) -> (u32, String) {
    let digits: String = tier.chars().take_while(char::is_ascii_digit).collect();
    (digits.parse().unwrap_or(u32::MAX), tier.to_owned())
}

fn zones(forecast: Option<&Forecast>) -> &[ZoneResult] {
    forecast.map(|f| f.zones.as_slice()).unwrap_or_default()
}

fn tiers(zone: &ZoneResult) -> impl Iterator<Item = &str> {
    zone.tiers.split(',').map(str::trim)
}

/// As foreseen, moved by how far off that was.
fn of_zone(zone: &ZoneResult, (off, by): (f64, HeatBy)) -> Heat {
    let position = zone.cone_position + off;
    Heat {
        position,
        said: Place::At(position).to_string(),
        by,
        bound: Bound::Exact,
    }
}

/// How much more heat-work tiers with cones got than was foreseen, in cones, on average. A cone that only tells a bound
/// says nothing of how much.
fn off_cones(read: &[TierHeat], forecast: Option<&Forecast>) -> Option<(f64, HeatBy)> {
    let exact = read.iter().filter(|t| t.heat.bound == Bound::Exact);
    let off: Vec<f64> = exact
        .filter_map(|t| {
            let mut all = zones(forecast).iter();
            let zone = all.find(|z| tiers(z).any(|n| n == t.tier))?;
            Some(t.heat.position - zone.cone_position)
        })
        .collect();
    (!off.is_empty()).then(|| {
        (
            off.iter().sum::<f64>() / off.len() as f64,
            HeatBy::OtherCones,
        )
    })
}

/// How much more heat-work the sensor got than was foreseen, in cones, both without the stretches that are not to be
/// believed.
fn off_log(log: &[(Span, Temperature)], forecast: &Forecast, bad: &[(Span, Span)]) -> Option<f64> {
    let foreseen: Vec<_> = forecast
        .samples
        .iter()
        .map(|s| (s.time_s, s.sensor_c))
        .collect();
    Some(gathered(log, bad)? - gathered(&foreseen, bad)?)
}

/// Longer without a reading is a gap: nobody knows how hot it was.
const GAP: Span = Span::minutes(40.0);

fn gathered(points: &[(Span, Temperature)], bad: &[(Span, Span)]) -> Option<f64> {
    let mut work = HeatWork::new();
    for w in points.windows(2) {
        let [a, b] = w else { continue };
        let dt = b.0 - a.0;
        let believed = bad.iter().all(|(from, to)| b.0 <= *from || a.0 >= *to);
        if dt <= GAP && believed {
            // A piece that cannot be adds nothing.
            let _left_out = work.push(dt, a.1, b.1);
        }
    }
    work.position()
}

/// What a tier reached, and the mean of the others that are known by the same means.
pub fn of_tier(all: &[TierHeat], tier: Option<&str>) -> (Option<Heat>, Option<f64>) {
    let Some(own) = tier.and_then(|t| all.iter().find(|h| h.tier == t)) else {
        return (None, None);
    };
    let by_cones = |h: &TierHeat| matches!(h.heat.by, HeatBy::Cones | HeatBy::OtherCones);
    let alike = |h: &&TierHeat| h.tier != own.tier && by_cones(h) == by_cones(own);
    let others: Vec<f64> = all.iter().filter(alike).map(|h| h.heat.position).collect();
    let mean = (!others.is_empty()).then(|| others.iter().sum::<f64>() / others.len() as f64);
    (Some(own.heat.clone()), mean)
}
