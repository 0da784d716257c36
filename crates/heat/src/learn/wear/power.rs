//! Power of the elements over the firings, and when it is too little.

use glost_model::book::upkeep::BandWear;
use glost_model::doubt::{Band, Limit};
use jiff::Timestamp;

use super::{Left, MOST_FIRINGS};
use crate::learn::Learnt;

/// The power of a kiln in one firing, as it was fitted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PowerSeen {
    /// How many firings these elements had had.
    pub firing: u32,
    /// ln of power over the nameplate's.
    pub ln_power: f64,
    /// Its standard deviation.
    pub deviation: f64,
}

/// What a meter said of the elements.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ohms {
    /// Resistance at the last reading over that at the first, the mean over the bands.
    pub ratio: f64,
    /// Firings between the two.
    pub firings: u32,
}

/// How power goes, in ln for a firing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trend {
    /// ln of power over the nameplate's after the last firing, and its deviation.
    pub now: (f64, f64),
    /// Change with each firing, and its deviation.
    pub each: (f64, f64),
    /// Firings that it is drawn through.
    pub firings: usize,
}

/// What elements lose in a firing before anything is seen: resistance up 2 to 4 % in 50 firings at cone 6 by memory, up
/// to 1 % in one where it goes badly (proposed).
const EACH: (f64, f64) = (-0.003, 0.004);
/// What they may have at first: wire and mains.
const FIRST: f64 = 0.06;
/// Fits of neighbouring firings are alike and off on their own day; none is surer than this.
const LEAST: f64 = 0.015;
/// Two readings of a meter, with what the bands differ by.
const OHMS: f64 = 0.01;

/// Every firing from some moment on, counted from there.
pub fn powers(learnt: &Learnt, since: Option<Timestamp>) -> Vec<PowerSeen> {
    let fired = learnt
        .firings
        .iter()
        .filter(|f| since.is_none_or(|s| f.at >= s));
    (0u32..)
        .zip(fired)
        .filter_map(|(firing, f)| {
            let (ln_power, deviation) = f.power?;
            Some(PowerSeen {
                firing,
                ln_power,
                deviation,
            })
        })
        .collect()
}

impl Ohms {
    /// From readings of each band; nothing before one was read twice.
    pub fn of(bands: &[BandWear], firings: u32) -> Option<Self> {
        let ratio = glost_model::book::upkeep::ageing(bands)?;
        Some(Self { ratio, firings })
    }
}

/// The line through what was fitted and measured, by least squares with what elements do as a prior. `firings` is how
/// many these elements have had by now.
pub fn trend(seen: &[PowerSeen], ohms: Option<Ohms>, firings: u32) -> Trend {
    // Unknowns: ln power at firing 0, change with each. Normal equations.
    let mut square = [[FIRST.powi(-2), 0.0], [0.0, EACH.1.powi(-2)]];
    let mut side = [0.0, EACH.0 * EACH.1.powi(-2)];
    let mut add = |by: [f64; 2], value: f64, deviation: f64| {
        let weight = deviation.powi(-2);
        for i in 0..2 {
            side[i] += weight * by[i] * value;
            for k in 0..2 {
                square[i][k] += weight * by[i] * by[k];
            }
        }
    };
    let can_be = |p: &&PowerSeen| p.ln_power.is_finite() && p.deviation.is_finite();
    let mut count = 0;
    for p in seen.iter().filter(can_be) {
        add(
            [1.0, f64::from(p.firing)],
            p.ln_power,
            p.deviation.max(LEAST),
        );
        count += 1;
    }
    if let Some(o) = ohms.filter(|o| o.firings > 0 && o.ratio.is_finite() && o.ratio > 0.0) {
        // Power goes with one over the resistance.
        add([0.0, f64::from(o.firings)], -o.ratio.ln(), OHMS);
    }
    let [[a, b], [_, c]] = square;
    let whole = a * c - b * b;
    let (first, each) = (
        (c * side[0] - b * side[1]) / whole,
        (a * side[1] - b * side[0]) / whole,
    );
    let covariance = [[c / whole, -b / whole], [-b / whole, a / whole]];
    let n = f64::from(firings);
    let spread = covariance[0][0] + 2.0 * n * covariance[0][1] + n * n * covariance[1][1];
    Trend {
        now: (first + n * each, spread.max(0.0).sqrt()),
        each: (each, covariance[1][1].sqrt()),
        firings: count,
    }
}

/// Deviates below which a tenth, a half and nine tenths of the normal law lie (tables).
const TENTHS: [f64; 3] = [-1.281_551_6, 0.0, 1.281_551_6];

/// Firings until the kiln has too little power, when its limit is so much of what it has now; see
/// [`crate::doubt::margin`].
pub fn firings_left(trend: &Trend, limit: &Limit) -> Left {
    let share = match limit {
        Limit::Never => 1.0,
        Limit::Far => 0.5,
        Limit::At(l) => l.power,
    };
    let fall = share.max(1e-3).ln();
    // By firing n it has come so far in this many deviations; the first n at which a share of all kilns like it have.
    let come = |n: u32| {
        let n = f64::from(n);
        let spread = (trend.now.1.powi(2) + (n * trend.each.1).powi(2)).sqrt();
        (fall - n * trend.each.0) / spread.max(1e-9)
    };
    let first = |deviate: f64| (0..=MOST_FIRINGS).find(|n| come(*n) >= deviate);
    let [low, middle, high] = TENTHS.map(first);
    Band { low, middle, high }
}
