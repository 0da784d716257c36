//! What a log has told of a kiln: the power that it took to follow the sensor, beside the power that was asked for.
//!
//! Where the controller asks for a known share of full power (it tells its duty, or it lags and so asks for all, or it
//! is off) that share less the one that the kiln took, by its equations, is a misfit. Misfits are linear in
//! the unknowns, and what a fault adds to them is linear in its size, so that both come out of one set of normal
//! equations (A. S. Willsky, H. L. Jones, IEEE Trans. Autom. Control 21 (1976) 108: a jump in a linear
//! system is found by its likelihood ratio at every onset).

use super::believed::Belief;
use super::normal::{Square, dot, inverse, root, solve, spread};

/// Standard deviation of a misfit in an hour of a kiln that is as it should be, as a share of full power: what the model
/// leaves out. Set on kilns unlike the model, seeds 101 and 103 of [`super::trial`].
const MISFIT: f64 = 0.035;
/// Cold kilns are less well known: water, the start of the wire, sensors that trail.
const COLD_MISFIT: f64 = 0.1;
const COLD_K: f64 = 90.0;
/// Misfits as far apart as this are independent, s.
const MEMORY_S: f64 = 2700.0;
/// The same between duty and meter: relays round, mains wander.
const WIRES: f64 = 0.03;
const WIRES_S: f64 = 1800.0;
/// Size that a fault may have, standard deviation as a share.
const FAULT: f64 = 0.6;

/// What a stretch told.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// When it ended, s.
    pub to_s: f64,
    /// How long it was, s.
    pub long_s: f64,
    /// Share of full power that was asked for.
    pub asked: f64,
    /// Share that the kiln as believed took.
    pub share: f64,
    /// Its slopes by the unknowns.
    pub slopes: Vec<f64>,
    /// Hotter than the room by this, K.
    pub over_k: f64,
    /// How far it counts, 0 to 1.
    pub counts: f64,
    /// What is set against what.
    pub sides: Sides,
}

/// What a misfit is between. A meter parts the way of power in two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    /// What was asked for, and what the kiln took.
    Whole,
    /// What was asked for, and what the meter shows.
    Wires,
    /// What the meter shows, and what the kiln took.
    Heat,
}

impl Told {
    fn misfit(&self) -> f64 {
        self.asked - self.share
    }

    /// One over its variance.
    fn weight(&self) -> f64 {
        if self.sides == Sides::Wires {
            return self.counts * (self.long_s / WIRES_S).min(1.0) / WIRES.powi(2);
        }
        let cold = COLD_MISFIT * (-self.over_k.max(0.0) / COLD_K).exp();
        let variance = MISFIT.powi(2) + cold.powi(2);
        self.counts * (self.long_s / MEMORY_S).min(1.0) / variance
    }
}

/// How a fault shows in misfits, for a size of 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sign {
    /// The elements give less than is asked of them; size 1: nothing.
    Weak,
    /// Heat is lost; size 1: all of full power, at 1000 K above the room.
    Leak,
    /// Some are on whatever is asked; size 1: all of them.
    Stuck,
}

impl Sign {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Weak, Self::Leak, Self::Stuck];

    fn of(self, told: &Told) -> f64 {
        match (self, told.sides) {
            (Self::Weak | Self::Stuck, Sides::Heat) | (Self::Leak, Sides::Wires) => 0.0,
            (Self::Weak, _) => told.asked,
            (Self::Leak, _) => (told.over_k / 1000.0).max(0.0),
            (Self::Stuck, _) => -(1.0 - told.asked),
        }
    }
}

/// A fault that would explain misfits.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// How it shows.
    pub sign: Sign,
    /// Its size.
    pub size: f64,
    /// Standard deviation of that.
    pub deviation: f64,
    /// Since when, s.
    pub since_s: f64,
    /// By how much, in the logarithm, what was seen is likelier with it than without.
    pub gain: f64,
}

/// All that was told, and what to make of it.
#[derive(Debug, Clone)]
pub struct Evidence {
    told: Vec<Told>,
    prior: Square,
    /// Normal equations: Σ w g g with what was believed before, and Σ w g r.
    sum: Square,
    right: Vec<f64>,
}

/// How far off the kiln is from what was believed.
#[derive(Debug, Clone, PartialEq)]
pub struct Off {
    /// Each unknown.
    pub by: Vec<f64>,
    /// Covariance.
    pub covariance: Square,
}

impl Off {
    /// A figure and its standard deviation, from its value and slopes where nothing is off.
    pub fn figure(&self, here: f64, slopes: &[f64]) -> (f64, f64) {
        (
            here + dot(slopes, &self.by),
            spread(&self.covariance, slopes).max(0.0).sqrt(),
        )
    }
}

impl Evidence {
    /// Nothing yet.
    pub fn new(belief: &Belief) -> Self {
        let prior = root(&belief.covariance).map_or_else(Vec::new, |l| inverse(&l));
        Self {
            told: Vec::new(),
            sum: prior.clone(),
            right: vec![0.0; prior.len()],
            prior,
        }
    }

    /// What was told so far.
    pub fn told(&self) -> &[Told] {
        &self.told
    }

    /// Adds a stretch.
    pub fn push(&mut self, told: Told) {
        let (w, r) = (told.weight(), told.misfit());
        for (i, gi) in told.slopes.iter().enumerate() {
            self.right[i] += w * gi * r;
            for (j, gj) in told.slopes.iter().enumerate() {
                self.sum[i][j] += w * gi * gj;
            }
        }
        self.told.push(told);
    }

    /// How far off the kiln is, given a fault or none.
    pub fn off(&self, fault: Option<&Fault>) -> Off {
        let n = self.prior.len();
        let Some(l) = root(&self.sum) else {
            return Off {
                by: vec![0.0; n],
                covariance: root(&self.prior).map_or_else(Vec::new, |l| inverse(&l)),
            };
        };
        let mut right = self.right.clone();
        if let Some(fault) = fault {
            let (cross, ..) = self.sums(fault.sign, fault.since_s);
            for (r, c) in right.iter_mut().zip(&cross) {
                *r -= c * fault.size;
            }
        }
        Off {
            by: solve(&l, &right),
            covariance: inverse(&l),
        }
    }

    /// Σ w h g, Σ w h², Σ w h r and the time told, from an onset on.
    fn sums(&self, sign: Sign, since_s: f64) -> (Vec<f64>, f64, f64, f64) {
        let mut cross = vec![0.0; self.prior.len()];
        let (mut square, mut right, mut long_s) = (0.0, 0.0, 0.0);
        let since = self.told.iter().rev();
        for told in since.take_while(|t| t.to_s - t.long_s >= since_s - 1.0) {
            let (w, h) = (told.weight(), sign.of(told));
            for (c, g) in cross.iter_mut().zip(&told.slopes) {
                *c += w * h * g;
            }
            square += w * h * h;
            right += w * h * told.misfit();
            long_s += told.long_s * told.counts;
        }
        (cross, square, right, long_s)
    }

    /// The likeliest onset of a fault of this kind; none before anything was told.
    pub fn likeliest(&self, sign: Sign) -> Option<Fault> {
        let l = root(&self.sum)?;
        let n = self.told.len();
        let onsets = [2, 3, 4, 6, 8, 12, 18, 27, 40, 60, 90, 140, 200];
        let onsets = onsets.into_iter().filter(|k| *k < n).chain([n]);
        let at = |back: usize| {
            let first = self.told.get(n.checked_sub(back)?)?;
            let since_s = first.to_s - first.long_s;
            let (cross, square, right, _) = self.sums(sign, since_s);
            // The unknowns explain what they can; the fault is left with the rest.
            let precision = 1.0 / FAULT.powi(2) + square - dot(&cross, &solve(&l, &cross));
            if precision <= 0.0 {
                return None;
            }
            let size = (right - dot(&cross, &solve(&l, &self.right))) / precision;
            (size > 0.0).then(|| Fault {
                sign,
                size,
                deviation: precision.sqrt().recip(),
                since_s,
                gain: size * size * precision / 2.0,
            })
        };
        onsets
            .filter_map(at)
            .max_by(|a, b| a.gain.total_cmp(&b.gain))
    }
}
