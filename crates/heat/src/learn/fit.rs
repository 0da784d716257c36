//! One firing fitted: Gauss and Newton's steps from what was known before, with misses that are far out counting less.

use faer::linalg::solvers::Solve;
use faer::{Mat, Side};

use super::curve::NoUse;
use super::feature::misses;
use super::known::{COUNT, KNOWN};
use super::model::{Run, fan};
use super::past::Ready;

/// What one firing says of the kiln, together with what was known before.
#[derive(Debug, Clone)]
pub(super) struct Fitted {
    /// Where the kiln is in this firing.
    pub at: Vec<f64>,
    pub covariance: Mat<f64>,
    /// Mean of the squared misses that are left, each counted up to [`MOST_SQUARE`], and how many there were.
    pub left: f64,
    /// The misses.
    pub misses: Vec<Option<f64>>,
    /// How far it had to move, in squared deviations of what was known.
    pub moved: f64,
}

/// Misses beyond this many deviations count by their size, not its square (Huber).
const FAR: f64 = 2.0;
/// And for judging a fit, no more than this.
const MOST_SQUARE: f64 = 25.0;
/// Steps.
const STEPS: usize = 4;
/// Steps for which slopes are worked out anew.
const FRESH: usize = 2;
/// Features of one firing are off together; so many times fewer are as good as independent.
const ALIKE: f64 = 2.0;
/// No kiln is further from the priors than this many widths.
const MOST: f64 = 4.0;

fn huber(miss: f64) -> f64 {
    let size = miss.abs();
    if size <= FAR {
        size * size
    } else {
        FAR * (2.0 * size - FAR)
    }
}

/// The inverse of a covariance.
pub(super) fn inverse(matrix: &Mat<f64>) -> Option<Mat<f64>> {
    let n = matrix.nrows();
    let factors = matrix.llt(Side::Lower).ok()?;
    Some(factors.solve(&Mat::<f64>::identity(n, n)))
}

fn cost(misses: &[Option<f64>], at: &[f64], mean: &[f64], firm: &Mat<f64>) -> f64 {
    let seen: f64 = misses.iter().flatten().map(|m| huber(*m)).sum();
    seen / ALIKE + squared(at, mean, firm)
}

fn squared(at: &[f64], mean: &[f64], firm: &Mat<f64>) -> f64 {
    let off: Vec<f64> = at.iter().zip(mean).map(|(a, b)| a - b).collect();
    let n = off.len();
    (0..n)
        .map(|i| (0..n).map(|k| off[i] * firm[(i, k)] * off[k]).sum::<f64>())
        .sum()
}

/// Slopes of the misses by each unknown.
fn slopes(all: &[Vec<Option<f64>>], steps: &[f64]) -> Vec<Vec<f64>> {
    let here = all.first();
    let count = here.map_or(0, Vec::len);
    (0..count)
        .map(|row| {
            let at = |k: usize| all.get(k).and_then(|m| m.get(row)).copied().flatten();
            let slope = |k: usize| match (at(0), at(k + 1)) {
                (Some(a), Some(b)) => (b - a) / steps.get(k).copied().unwrap_or(1.0),
                _ => 0.0,
            };
            (0..COUNT).map(slope).collect()
        })
        .collect()
}

/// Fits one firing. `mean` and `covariance` are of the kiln in this firing, before it is seen. `first` is the fan of
/// simulations at the mean.
pub(super) fn fit(
    ready: &Ready,
    mean: &[f64],
    covariance: &Mat<f64>,
    first: &[(f64, Run)],
    threads: usize,
) -> Result<Fitted, NoUse> {
    let firm = inverse(covariance).ok_or(NoUse::NotSimulated)?;
    let miss = |run: &Run| misses(&ready.features, &ready.marks, &run.curve, &run.zones);
    let mut at = mean.to_vec();
    let (mut here, mut slope) = of_fan(first, &miss);
    let mut worth = cost(&here, &at, mean, &firm);
    for step in 0..STEPS {
        if step > 0 && step < FRESH {
            let fan = fan(&ready.input, &ready.plan, &at, threads)?;
            (here, slope) = of_fan(&fan, &miss);
            worth = cost(&here, &at, mean, &firm);
        }
        let (square, side) = normal(&here, &slope, &at, mean, &firm);
        let factors = square
            .llt(Side::Lower)
            .map_err(|_none| NoUse::NotSimulated)?;
        let by = factors.solve(&side);
        let (mut share, mut better) = (1.0, false);
        for _ in 0..4 {
            let next: Vec<f64> = (0..COUNT)
                .map(|i| {
                    let most = MOST * KNOWN[i].prior.width;
                    (at[i] + share * by[(i, 0)]).clamp(-most, most)
                })
                .collect();
            let found = miss(&ready.run(&next)?);
            let now = cost(&found, &next, mean, &firm);
            if now < worth {
                better = worth - now > 0.01 * worth;
                (at, here, worth) = (next, found, now);
                break;
            }
            share /= 3.0;
        }
        if !better && step + 1 >= FRESH {
            break;
        }
    }
    let (square, _) = normal(&here, &slope, &at, mean, &firm);
    let known = here.iter().flatten();
    let count = known.clone().count().max(1) as f64;
    Ok(Fitted {
        covariance: inverse(&square).ok_or(NoUse::NotSimulated)?,
        left: known.map(|m| (m * m).min(MOST_SQUARE)).sum::<f64>() / count,
        moved: squared(&at, mean, &firm),
        misses: here,
        at,
    })
}

type Missed = Vec<Option<f64>>;

fn of_fan(fan: &[(f64, Run)], miss: &dyn Fn(&Run) -> Missed) -> (Missed, Vec<Vec<f64>>) {
    let all: Vec<Missed> = fan.iter().map(|(_, r)| miss(r)).collect();
    let steps: Vec<f64> = fan.iter().skip(1).map(|(by, _)| *by).collect();
    let slopes = slopes(&all, &steps);
    (all.into_iter().next().unwrap_or_default(), slopes)
}

fn normal(
    misses: &[Option<f64>],
    slopes: &[Vec<f64>],
    at: &[f64],
    mean: &[f64],
    firm: &Mat<f64>,
) -> (Mat<f64>, Mat<f64>) {
    let (mut square, mut side) = (firm.clone(), Mat::<f64>::zeros(COUNT, 1));
    for i in 0..COUNT {
        for k in 0..COUNT {
            side[(i, 0)] += firm[(i, k)] * (mean[k] - at[k]);
        }
    }
    for (miss, row) in misses.iter().zip(slopes) {
        let Some(miss) = miss else { continue };
        let weight = (FAR / miss.abs()).min(1.0) / ALIKE;
        for i in 0..COUNT {
            side[(i, 0)] -= weight * row[i] * miss;
            for k in 0..COUNT {
                square[(i, k)] += weight * row[i] * row[k];
            }
        }
    }
    (square, side)
}
