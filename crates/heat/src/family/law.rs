//! The rate law of one cone.
//!
//! With z = E/R (1/T − 1/T₆₀), how much colder it is than the cone's end point at 60 °C/h, the share
//! of its heat-work that a cone gathers in a second is
//!
//! k(T) = A exp(−z + b (√(1 + z²) − 1)).
//!
//! At b = 0 this is the law of Arrhenius. Else the activation energy goes from E (1 − b) in the cold
//! to E (1 + b) in the heat, with E at T₆₀: two processes that add up (b > 0) or wait for each
//! other (b < 0). While |b| < 1, k grows with T at any temperature.

use super::USUAL_C_PER_H;

/// Step of z in the integral, by Simpson's rule: a relative error of 3e-4, under 0.01 °C.
const STEP: f64 = 0.5;
/// Terms smaller than this share of the sum end it.
const SMALL: f64 = 1e-7;

/// See the module.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Law {
    /// Natural logarithm of A in 1/s.
    ln_a: f64,
    /// Activation temperature E/R at [`Self::usual_k`], K.
    e_k: f64,
    /// b.
    bend: f64,
    /// End point at 60 °C/h, K.
    usual_k: f64,
}

impl Law {
    /// The law that is down at `usual_k` when heated at 60 °C/h.
    pub(super) fn new(usual_k: f64, e_k: f64, bend: f64) -> Self {
        let mut law = Self {
            ln_a: 0.0,
            e_k,
            bend,
            usual_k,
        };
        law.ln_a = (USUAL_C_PER_H / 3600.0).ln() - law.ln_received_k(0.0).0;
        law
    }

    /// The law at a share of the way from this one to the next. What is mixed is what end points at any
    /// rate are almost linear in, so that decimals keep the order of their neighbours: the end
    /// point, the span of an e-fold of rate (1/E), and how that span changes (b/E).
    pub(super) fn towards(&self, next: &Self, share: f64) -> Self {
        let mix = |a: f64, b: f64| a + share * (b - a);
        let per_k = mix(1.0 / self.e_k, 1.0 / next.e_k);
        Self::new(
            mix(self.usual_k, next.usual_k),
            1.0 / per_k,
            mix(self.bend / self.e_k, next.bend / next.e_k) / per_k,
        )
    }

    /// The law of a cone of the same make that is down so much hotter at 60 °C/h.
    pub(super) fn hotter_by(&self, by_k: f64) -> Self {
        Self::new(self.usual_k + by_k, self.e_k, self.bend)
    }

    /// End point at 60 °C/h, K.
    pub(crate) fn usual_k(&self) -> f64 {
        self.usual_k
    }

    /// How much colder than the end point at 60 °C/h; see the module.
    pub(crate) fn z(&self, temp_k: f64) -> f64 {
        // At 1 K as at none: nothing moves, and the inverse stays finite.
        self.e_k * (1.0 / temp_k.max(1.0) - 1.0 / self.usual_k)
    }

    fn shape(&self, z: f64) -> f64 {
        -z + self.bend * ((1.0 + z * z).sqrt() - 1.0)
    }

    /// ln of the rate at a temperature, 1/s.
    pub(crate) fn ln_rate(&self, temp_k: f64) -> f64 {
        self.ln_a + self.shape(self.z(temp_k))
    }

    /// d ln k / dT there, 1/K.
    pub(crate) fn steepness(&self, temp_k: f64) -> f64 {
        let z = self.z(temp_k);
        (1.0 - self.bend * z / (1.0 + z * z).sqrt()) * self.e_k / (temp_k * temp_k)
    }

    fn temp_k(&self, z: f64) -> f64 {
        1.0 / (1.0 / self.usual_k + z / self.e_k)
    }

    /// Share of its heat-work that the cone has when it is so far short of its end at 60 °C/h.
    pub(crate) fn share_at(&self, short_k: f64) -> f64 {
        let z = self.z(self.usual_k - short_k);
        (self.ln_received_k(z).0 - self.ln_received_k(0.0).0).exp()
    }

    /// Mean z at which the heat-work comes when the cone is heated to its end at 60 °C/h.
    pub(super) fn usual_z(&self) -> f64 {
        let weight = |z: f64| self.shape(z).exp() * self.temp_k(z).powi(2);
        let all = || (0..400).map(|i| 0.1 * (f64::from(i) + 0.5));
        let sum: f64 = all().map(weight).sum();
        all().map(|z| z * weight(z)).sum::<f64>() / sum
    }

    /// ln ∫ k/A dT from the cold up to z, and how fast it falls with z.
    fn ln_received_k(&self, z: f64) -> (f64, f64) {
        let here = self.shape(z);
        let at = |z: f64| (self.shape(z) - here).exp() * self.temp_k(z).powi(2) / self.e_k;
        let (mut sum, mut from, first) = (0.0, z, at(z));
        let mut left = first;
        loop {
            let (mid, right) = (at(from + 0.5 * STEP), at(from + STEP));
            let term = (left + 4.0 * mid + right) * STEP / 6.0;
            sum += term;
            (left, from) = (right, from + STEP);
            if term <= SMALL * sum {
                return (here + sum.ln(), first / sum);
            }
        }
    }

    /// End point at a rate, K.
    pub(crate) fn end_k(&self, rate_c_per_h: f64) -> f64 {
        let want = (rate_c_per_h / 3600.0).ln() - self.ln_a;
        let mut z = -(rate_c_per_h / USUAL_C_PER_H).ln();
        // Newton's method: the logarithm is almost straight.
        for _ in 0..40 {
            let (ln, falls) = self.ln_received_k(z);
            let step = ((ln - want) / falls).clamp(-1.0, 1.0);
            z += step;
            if step.abs() < 1e-11 {
                break;
            }
        }
        self.temp_k(z)
    }
}
