//! The least circle around given circles.

use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

use super::{BareError, Effort, radii_are_sizes};
use crate::engine::{Body, Part, Room, Search, Wall};
use crate::region::Region;

/// Circles overlap by less than this share of their middling radius before the last repair.
const FINE: f64 = 1e-7;
/// Share of the container that circles fill with ease.
const EASY: f64 = 0.6;
/// Radius of a disc of the same area as all circles in the engine's frame, m.
const FRAME_M: f64 = 0.45;
/// The search goes on for a container smaller than the best by this share.
const BETTER: f64 = 1e-5;

/// Circles in a circle.
#[derive(Debug, Clone, PartialEq)]
pub struct Packed {
    /// Radius of the container over the least radius: for radii 1..N the container's radius, for equal
    /// circles the ratio that lists of records give.
    pub ratio: f64,
    /// Middles in the order of the radii and in their unit; the container's middle is the origin. No two
    /// circles overlap and none sticks out, but for rounding (1e-12 of the container).
    pub places: Vec<[f64; 2]>,
}

/// The least container found for circles of these radii, in any unit. A round of the effort is one
/// descent of the engine.
///
/// # Errors
/// [`BareError::NoSize`] for a radius that is none.
pub fn least_circle(radii: &[f64], effort: Effort) -> Result<Packed, BareError> {
    radii_are_sizes(radii)?;
    let Some(least) = radii.iter().copied().reduce(f64::min) else {
        return Ok(Packed {
            ratio: 0.0,
            places: Vec::new(),
        });
    };
    let clock = effort.clock();
    let frame = Frame::of(radii);
    let mut rng = ChaCha8Rng::seed_from_u64(effort.seed);
    let bodies: Vec<&Body> = frame.coins.iter().collect();
    let mut search = Search::new(&frame.room, &bodies, &[], &mut rng);
    search.low = frame.fine_m2;
    let mut best = in_a_row(radii);
    let mut target_m = FRAME_M / EASY.sqrt();
    for _ in 0..effort.rounds {
        if clock.over() || target_m <= frame.widest_m {
            break;
        }
        search.scene.inset_m = frame.outer_m - target_m;
        if search.settle() {
            target_m = jam(&mut search, &frame, target_m);
            let found = exact(radii, &search, frame.unit);
            if found.size < best.size {
                best = found;
            }
            target_m *= 1.0 - BETTER;
            search.scene.inset_m = frame.outer_m - target_m;
            search.restate();
        }
        if search.stuck() {
            search.begin(&[], &mut rng);
        } else {
            search.stir(&mut rng);
        }
    }
    Ok(Packed {
        ratio: best.size / least,
        places: best.places,
    })
}

/// Circles in the engine's metres.
struct Frame {
    coins: Vec<Body>,
    room: Room,
    /// Metres to one unit of the radii.
    unit: f64,
    outer_m: f64,
    widest_m: f64,
    fine_m2: f64,
}

impl Frame {
    fn of(radii: &[f64]) -> Self {
        let total = radii.iter().map(|r| r * r).sum::<f64>().sqrt();
        let unit = FRAME_M / total;
        let widest_m = radii.iter().copied().fold(0.0, f64::max) * unit;
        let outer_m = 2.0 * FRAME_M;
        let coin = |r: &f64| Body::new(vec![Part::disc([0.0, 0.0], r * unit)], 0.0, 0.1);
        Self {
            coins: radii.iter().map(coin).collect(),
            room: Room {
                walls: vec![Wall {
                    region: Region::disc(outer_m),
                    keep_m: 0.0,
                }],
                obstacles: Vec::new(),
            },
            unit,
            outer_m,
            widest_m,
            fine_m2: (FINE * FRAME_M).powi(2) / radii.len() as f64,
        }
    }
}

/// The least container that the arrangement at hand can be pressed into, m.
fn jam(search: &mut Search<'_>, frame: &Frame, from_m: f64) -> f64 {
    let (mut lo, mut hi) = ((0.8 * from_m).max(frame.widest_m), from_m);
    let mut kept = search.kept();
    for _ in 0..30 {
        if hi - lo < 1e-8 * hi {
            break;
        }
        let mid = (lo + hi) / 2.0;
        search.scene.inset_m = frame.outer_m - mid;
        if search.polish(400) <= frame.fine_m2 {
            hi = mid;
            kept = search.kept();
        } else {
            lo = mid;
            search.keep(&kept);
        }
    }
    search.scene.inset_m = frame.outer_m - hi;
    search.keep(&kept);
    hi
}

struct Exact {
    size: f64,
    places: Vec<[f64; 2]>,
}

/// Moves all outward in proportion until none overlap, and measures the circle around them.
fn exact(radii: &[f64], search: &Search<'_>, unit: f64) -> Exact {
    let at: Vec<[f64; 2]> = search
        .poses()
        .iter()
        .map(|p| [p[0] / unit, p[1] / unit])
        .collect();
    let mut apart = 0.0_f64;
    for (i, p) in at.iter().enumerate() {
        for (j, q) in at.iter().enumerate().skip(i + 1) {
            let dist = (p[0] - q[0]).hypot(p[1] - q[1]).max(1e-12);
            apart = apart.max((radii[i] + radii[j]) / dist);
        }
    }
    let places: Vec<[f64; 2]> = at.iter().map(|p| [p[0] * apart, p[1] * apart]).collect();
    let size = places
        .iter()
        .zip(radii)
        .map(|(p, r)| p[0].hypot(p[1]) + r)
        .fold(0.0, f64::max);
    Exact { size, places }
}

/// Poor, but always there.
fn in_a_row(radii: &[f64]) -> Exact {
    let size: f64 = radii.iter().sum();
    let mut left = -size;
    let places = radii
        .iter()
        .map(|r| {
            left += 2.0 * r;
            [left - r, 0.0]
        })
        .collect();
    Exact { size, places }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bare::records;
    use proptest::prelude::*;

    fn effort(rounds: u32) -> Effort {
        Effort {
            seconds: f64::INFINITY,
            seed: 1,
            rounds,
        }
    }

    /// Overlap over the container's radius, the deepest of all.
    fn deepest(radii: &[f64], packed: &Packed) -> f64 {
        let size = packed.ratio * radii.iter().copied().fold(f64::INFINITY, f64::min);
        let p = &packed.places;
        let mut worst = f64::NEG_INFINITY;
        for i in 0..p.len() {
            worst = worst.max(p[i][0].hypot(p[i][1]) + radii[i] - size);
            for j in 0..i {
                let dist = (p[i][0] - p[j][0]).hypot(p[i][1] - p[j][1]);
                worst = worst.max(radii[i] + radii[j] - dist);
            }
        }
        worst / size
    }

    /// Records: the list "cci" of Packomania, see `records`; those to 13 and 19 are proved to be least.
    #[test]
    fn equal_circles_come_near_the_records() {
        for n in [1, 2, 3, 7, 13, 19, 30, 61] {
            let radii = vec![1.0; n];
            let packed = least_circle(&radii, effort(3000)).unwrap();
            let record = records::equal_circles(n).unwrap();
            println!("{n}: {} of {record}", packed.ratio);
            assert!(deepest(&radii, &packed) < 1e-9);
            assert!(
                packed.ratio > record * (1.0 - 1e-9),
                "{n}: {}",
                packed.ratio
            );
            assert!(packed.ratio < record * 1.0005, "{n}: {}", packed.ratio);
        }
    }

    /// Records: Ye, Huang, Lu, arXiv 1306.0694, see `records`.
    #[test]
    fn circles_of_all_sizes_come_near_the_records() {
        for n in [10, 20] {
            let radii: Vec<f64> = (1..=n).map(|i| i as f64).collect();
            let packed = least_circle(&radii, effort(20_000)).unwrap();
            let record = records::rising_circles(n).unwrap();
            assert!(packed.ratio < record * 1.01, "{n}: {}", packed.ratio);
        }
    }

    #[test]
    fn the_same_effort_gives_the_same_circle() {
        let radii: Vec<f64> = (1..=12).map(f64::from).collect();
        assert_eq!(
            least_circle(&radii, effort(300)),
            least_circle(&radii, effort(300))
        );
    }

    #[test]
    fn what_is_no_radius_is_named() {
        let faulty = least_circle(&[1.0, f64::NAN], effort(5));
        let text = faulty.unwrap_err().to_string();
        assert!(text.starts_with("radius 2 "), "{text}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]

        #[test]
        fn no_circles_overlap_even_with_hardly_any_effort(radii in prop::collection::vec(0.001f64..900.0, 0..14), rounds in 0u32..40) {
            let packed = least_circle(&radii, effort(rounds)).unwrap();
            prop_assert!(radii.is_empty() || deepest(&radii, &packed) < 1e-9);
        }
    }
}
