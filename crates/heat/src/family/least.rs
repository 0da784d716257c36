//! Least squares over rows of which each depends on a few unknowns.

use faer::linalg::solvers::Solve;
use faer::{Mat, Side};

/// One thing to be made small, in units of its own standard deviation.
pub(super) struct Row {
    pub(super) miss: f64,
    /// Unknown and derivative by it.
    pub(super) by: Vec<(usize, f64)>,
}

fn cost(rows: &[Row]) -> f64 {
    rows.iter().map(|r| r.miss * r.miss).sum()
}

fn normal(rows: &[Row], n: usize) -> (Mat<f64>, Mat<f64>) {
    let (mut square, mut side) = (Mat::<f64>::zeros(n, n), Mat::<f64>::zeros(n, 1));
    for row in rows {
        for (i, a) in &row.by {
            side[(*i, 0)] -= a * row.miss;
            for (k, b) in &row.by {
                square[(*i, *k)] += a * b;
            }
        }
    }
    (square, side)
}

/// Most steps of the fit; it settles within 40.
const STEPS: usize = 100;
/// A step that changes the sum by less than this share is the last.
const ENOUGH: f64 = 1e-6;

/// The unknowns that make the sum of squares least, by Gauss and Newton's method, damped
/// (Levenberg, Marquardt).
pub(super) fn solve(mut x: Vec<f64>, rows: &dyn Fn(&[f64]) -> Vec<Row>) -> Vec<f64> {
    let mut here = rows(&x);
    let mut damp = 1e-3;
    for _ in 0..STEPS {
        let (square, side) = normal(&here, x.len());
        let mut damped = square.clone();
        for i in 0..x.len() {
            damped[(i, i)] += damp * square[(i, i)];
        }
        let Ok(factors) = damped.llt(Side::Lower) else {
            damp *= 10.0;
            continue;
        };
        let step = factors.solve(&side);
        let next: Vec<f64> = (0..).zip(&x).map(|(i, v)| v + step[(i, 0)]).collect();
        let there = rows(&next);
        let (before, after) = (cost(&here), cost(&there));
        let settled = (before - after).abs() < ENOUGH * before;
        if after < before {
            (x, here) = (next, there);
            damp /= 10.0;
        } else {
            damp = (10.0 * damp).max(1e-3);
        }
        if settled {
            break;
        }
    }
    x
}

/// Covariances of the unknowns by what was measured. `None` when something is not measured at all.
pub(super) fn covariance(rows: &[Row], n: usize) -> Option<Mat<f64>> {
    let (square, _) = normal(rows, n);
    let factors = square.llt(Side::Lower).ok()?;
    Some(factors.solve(&Mat::<f64>::identity(n, n)))
}
