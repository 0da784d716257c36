//! Draws that fill the room of all unknowns evenly: a Latin hypercube of normal deviates.

use std::f64::consts::PI;

use rand::RngExt as _;
use rand::SeedableRng as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;

/// `draws` points in so many directions, in standard deviations, none further than `most`. Along each direction every
/// slice of equal chance holds one point.
pub fn cube(draws: usize, directions: usize, seed: u64, most: f64) -> Vec<Vec<f64>> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut points = vec![Vec::with_capacity(directions); draws];
    let mut slices: Vec<usize> = (0..draws).collect();
    for _ in 0..directions {
        slices.shuffle(&mut rng);
        for (point, slice) in points.iter_mut().zip(&slices) {
            let within: f64 = rng.random_range(0.0..1.0);
            let chance = (*slice as f64 + within) / draws as f64;
            point.push(deviate(chance).clamp(-most, most));
        }
    }
    points
}

/// The normal deviate below which a share of all lies: Newton's steps on [`below`] from a start that is right to 1 %
/// (Hastings' rational approximation, Abramowitz and Stegun 26.2.22, from memory; the steps make up for it).
fn deviate(chance: f64) -> f64 {
    let tail = chance.min(1.0 - chance).max(1e-12);
    let t = (-2.0 * tail.ln()).sqrt();
    let mut x = -(t - (2.30753 + 0.27061 * t) / (1.0 + 0.99229 * t + 0.04481 * t * t));
    for _ in 0..4 {
        let density = (-x * x / 2.0).exp() / (2.0 * PI).sqrt();
        x -= (below(x) - tail) / density;
    }
    if chance < 0.5 { x } else { -x }
}

/// Share of the normal law below x ≤ 0: its continued fraction far out, its series near the middle.
fn below(x: f64) -> f64 {
    let density = (-x * x / 2.0).exp() / (2.0 * PI).sqrt();
    if x < -2.5 {
        let fraction = (1..=60).rev().fold(-x, |f, k| -x + f64::from(k) / f);
        density / fraction
    } else {
        let mut term = x;
        let mut sum = x;
        for k in 1..60 {
            term *= x * x / f64::from(2 * k + 1);
            sum += term;
        }
        0.5 + density * sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn deviates_are_those_of_the_tables() {
        // Quantiles of the normal law as every table has them.
        for (chance, x) in [
            (0.5, 0.0),
            (0.9, 1.281_551_566),
            (0.975, 1.959_963_985),
            (0.001, -3.090_232_306),
            (1e-6, -4.753_424_309),
        ] {
            assert!((deviate(chance) - x).abs() < 1e-8, "{chance}");
        }
    }

    #[test]
    fn every_slice_holds_one_point() {
        let points = cube(20, 3, 7, 9.0);
        for d in 0..3 {
            let mut along: Vec<f64> = points.iter().map(|p| p[d]).collect();
            along.sort_by(f64::total_cmp);
            for (i, x) in along.iter().enumerate() {
                let (low, high) = (i as f64 / 20.0, (i + 1) as f64 / 20.0);
                assert!(deviate(low.max(1e-9)) <= *x && *x <= deviate(high.min(1.0 - 1e-9)));
            }
        }
        assert_eq!(points, cube(20, 3, 7, 9.0));
        assert_ne!(points, cube(20, 3, 8, 9.0));
    }
}
