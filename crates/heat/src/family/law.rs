//! The rate law of one cone.

use super::chart::Cell;

/// Joule per mole and kelvin.
pub(super) const GAS_J_PER_MOL_K: f64 = 8.314_462_618;

/// A/s exp(−E/RT): the share of its heat-work that a cone gathers in a second.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Law {
    /// Natural logarithm of the pre-exponential factor in 1/s.
    pub(crate) ln_a: f64,
    /// Activation temperature E/R, K.
    pub(crate) e_k: f64,
}

impl Law {
    /// ln of the rate at a temperature, 1/s.
    pub(crate) fn ln_rate(&self, temp_k: f64) -> f64 {
        self.ln_a - self.e_k / temp_k
    }

    /// The law with this activation temperature that is down exactly there.
    pub(super) fn through(e_k: f64, rate_c_per_h: f64, end_k: f64) -> Self {
        Self {
            ln_a: (rate_c_per_h / 3600.0).ln() - ln_integral(e_k, end_k),
            e_k,
        }
    }

    /// End point at a rate, K.
    pub(super) fn end_k(&self, rate_c_per_h: f64) -> f64 {
        let want = (rate_c_per_h / 3600.0).ln() - self.ln_a;
        let (mut lo, mut hi) = (600.0, 2200.0);
        for _ in 0..60 {
            let mid = f64::midpoint(lo, hi);
            if ln_integral(self.e_k, mid) < want {
                lo = mid;
            } else {
                hi = mid;
            }
        }
        f64::midpoint(lo, hi)
    }

    /// The law of a cone that is down this much cooler at the same rate.
    pub(super) fn cooler_by(&self, by_k: f64, rate_c_per_h: f64) -> Self {
        Self::through(self.e_k, rate_c_per_h, self.end_k(rate_c_per_h) - by_k)
    }

    /// How far the law is above a cell, K.
    pub(super) fn miss_k(&self, cell: &Cell) -> f64 {
        self.end_k(cell.rate_c_per_h) - 273.15 - cell.end_c
    }
}

/// ln ∫ exp(−E/RT) dT up to T, by the asymptotic series of the exponential integral.
fn ln_integral(e_k: f64, temp_k: f64) -> f64 {
    let x = temp_k / e_k;
    -e_k / temp_k + (temp_k * x).ln() + (1.0 - 2.0 * x + 6.0 * x * x - 24.0 * x * x * x).ln()
}

/// The best law with this activation temperature, and the sum of its squared misses in K².
pub(super) fn law_of(e_k: f64, cells: &[Cell]) -> (Law, f64) {
    let each: Vec<f64> = cells
        .iter()
        .map(|c| Law::through(e_k, c.rate_c_per_h, c.end_c + 273.15).ln_a)
        .collect();
    let ln_a = each.iter().sum::<f64>() / each.len() as f64;
    let misfit = cells
        .iter()
        .zip(&each)
        .map(|(c, l)| ((l - ln_a) * (c.end_c + 273.15).powi(2) / e_k).powi(2))
        .sum();
    (Law { ln_a, e_k }, misfit)
}
