//! Circles in the smallest circle.

use std::time::Instant;

use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

use super::Effort;
use crate::engine::{Body, Part, Room, Search, Wall};
use crate::region::Region;

/// Circles in a circle about the origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Packed {
    /// Radius of the container, in the unit of the radii given.
    pub radius: f64,
    /// Middles, in the order of the radii.
    pub places: Vec<[f64; 2]>,
}

/// Circles overlap by less than this share of the mean radius before the last repair.
const FINE: f64 = 1e-7;

/// The smallest container found for circles of these radii. Touching is allowed, overlap is not:
/// the places returned are exact to rounding.
pub fn least_circle(radii: &[f64], effort: Effort) -> Packed {
    let begun = Instant::now();
    let total: f64 = radii.iter().map(|r| r * r).sum();
    // The engine works in metres; a container of half a metre about suits its step sizes.
    let unit = 0.45 / total.sqrt();
    let widest = radii.iter().copied().fold(0.0, f64::max) * unit;
    let outer = (total.sqrt() * unit * 2.0).max(widest);
    let room = Room {
        walls: vec![Wall {
            region: Region::disc(outer),
            keep_m: 0.0,
        }],
        obstacles: Vec::new(),
    };
    let coins: Vec<Body> = radii
        .iter()
        .map(|r| Body::new(vec![Part::disc([0.0, 0.0], r * unit)], 0.0, 0.1))
        .collect();
    let bodies: Vec<&Body> = coins.iter().collect();
    let mut rng = ChaCha8Rng::seed_from_u64(effort.seed);
    let mut search = Search::new(&room, &bodies, &[], &mut rng);
    let mean = total.sqrt() * unit / (radii.len().max(1) as f64).sqrt();
    let fine = (FINE * mean).powi(2);
    let mut best: Option<Packed> = None;
    let offer = |best: &mut Option<Packed>, search: &Search<'_>| {
        let found = exact(radii, search, unit);
        if best.as_ref().is_none_or(|b| found.radius < b.radius) {
            *best = Some(found);
        }
    };
    let mut target = total.sqrt() * unit / 0.6_f64.sqrt();
    for _ in 0..effort.descents {
        if begun.elapsed().as_secs_f64() >= effort.seconds {
            break;
        }
        search.scene.inset_m = outer - target;
        search.low = fine;
        if search.settle() {
            // Press the container in until it jams.
            target = jam(&mut search, outer, target, widest, fine);
            offer(&mut best, &search);
            target *= 1.0 - 1e-5;
            search.scene.inset_m = outer - target;
            search.restate();
            if target <= widest {
                break;
            }
        }
        if search.stuck() {
            search.begin(&[], &mut rng);
        } else {
            search.stir(&mut rng);
        }
    }
    if best.is_none() {
        offer(&mut best, &search);
    }
    best.unwrap_or(Packed {
        radius: 0.0,
        places: Vec::new(),
    })
}

/// The least container that the arrangement at hand can be pressed into.
fn jam(search: &mut Search<'_>, outer: f64, from: f64, widest: f64, fine: f64) -> f64 {
    let (mut lo, mut hi) = ((0.8 * from).max(widest), from);
    let mut kept = search.kept();
    for _ in 0..30 {
        if hi - lo < 1e-8 * hi {
            break;
        }
        let mid = (lo + hi) / 2.0;
        search.scene.inset_m = outer - mid;
        search.low = fine;
        if search.polish(400) <= fine {
            hi = mid;
            kept = search.kept();
        } else {
            lo = mid;
            search.keep(&kept);
        }
    }
    search.scene.inset_m = outer - hi;
    search.keep(&kept);
    hi
}

/// Blows the arrangement up until no two overlap, and measures the container that it then needs.
fn exact(radii: &[f64], search: &Search<'_>, unit: f64) -> Packed {
    let at: Vec<[f64; 2]> = search
        .poses()
        .iter()
        .map(|p| [p[0] / unit, p[1] / unit])
        .collect();
    let mut blow: f64 = 0.0;
    for (i, a) in at.iter().enumerate() {
        for (j, b) in at.iter().enumerate().skip(i + 1) {
            let d = (a[0] - b[0]).hypot(a[1] - b[1]);
            blow = blow.max((radii[i] + radii[j]) / d.max(1e-300));
        }
    }
    let blow = if blow > 0.0 {
        blow * (1.0 + 1e-15)
    } else {
        1.0
    };
    let places: Vec<[f64; 2]> = at.iter().map(|p| [p[0] * blow, p[1] * blow]).collect();
    let radius = places
        .iter()
        .zip(radii)
        .map(|(p, r)| p[0].hypot(p[1]) + r)
        .fold(0.0, f64::max);
    Packed { radius, places }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(radii: &[f64], descents: u64) -> f64 {
        let effort = Effort {
            seconds: f64::INFINITY,
            descents,
            seed: 1,
        };
        least_circle(radii, effort).radius
    }

    /// Best-known ratios R/r of equal circles in a circle, from the Packomania list "cci".
    #[test]
    fn equal_circles_come_within_a_twentieth_of_a_percent_of_the_best_known() {
        for (n, known) in [
            (7, 3.0),
            (19, 4.863_703_305_2),
            (30, 6.197_741_076_1),
            (61, 8.661_297_575_5),
        ] {
            let found = found(&vec![1.0; n], 4_000);
            assert!(
                found > known * (1.0 - 1e-9),
                "{n}: {found} beats the record"
            );
            assert!(found < known * 1.000_5, "{n}: {found} against {known}");
        }
    }

    /// Radii 1 to N, from Ye, Huang, Lu, arXiv 1306.0694.
    #[test]
    fn circles_of_all_sizes_come_within_one_percent_of_the_best_known() {
        for (n, known) in [(10_u32, 22.000_193_01), (20, 58.400_567_47)] {
            let radii: Vec<f64> = (1..=n).map(f64::from).collect();
            let found = found(&radii, 20_000);
            assert!(found < known * 1.01, "{n}: {found} against {known}");
        }
    }

    #[test]
    fn one_circle_fills_its_container() {
        assert!((found(&[0.4], 10) - 0.4).abs() < 1e-6);
    }
}
