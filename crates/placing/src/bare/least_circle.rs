//! The least circle around given circles.

use super::adapter::{Place, Pose, Shape};
use super::tighten::{Tight, tighten};
use super::{BareError, Effort, radii_are_sizes};

/// Descents for one size.
const TRIES: usize = 60;
/// Share of the container that circles fill with ease.
const EASY: f64 = 0.7;
/// Radius of the container in the engine's frame, m: its tolerance is small against it.
const FRAME_M: f64 = 1.0;

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

/// The least container found for circles of these radii, in any unit.
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
    let place = Place::disc(FRAME_M);
    let first = (radii.iter().map(|r| r * r).sum::<f64>() / EASY).sqrt();
    let found = tighten(first, effort, &mut |size, start, rng| {
        let shapes: Vec<Shape> = radii
            .iter()
            .map(|r| Shape::disc(r / size * FRAME_M))
            .collect();
        let shapes: Vec<&Shape> = shapes.iter().collect();
        let start: Vec<Option<Pose>> = start.unwrap_or_default().iter().map(|p| Some(*p)).collect();
        place
            .fit(&shapes, &start, TRIES, rng)
            .map(|poses| pulled_apart(radii, &poses))
    });
    let found = found.unwrap_or_else(|| in_a_row(radii));
    let places = found
        .poses
        .iter()
        .map(|p| [p[0] * found.size, p[1] * found.size])
        .collect();
    Ok(Packed {
        ratio: found.size / least,
        places,
    })
}

/// Moves all outward in proportion until none overlap, and measures the circle around them. Poses come
/// back with the container as the unit.
fn pulled_apart(radii: &[f64], poses: &[Pose]) -> Tight {
    let mut apart = 0.0_f64;
    for (i, p) in poses.iter().enumerate() {
        for (j, q) in poses.iter().enumerate().skip(i + 1) {
            let dist = (p[0] - q[0]).hypot(p[1] - q[1]).max(1e-12);
            apart = apart.max((radii[i] + radii[j]) / dist);
        }
    }
    let size = poses
        .iter()
        .zip(radii)
        .map(|(p, r)| p[0].hypot(p[1]) * apart + r)
        .fold(0.0, f64::max);
    let poses = poses
        .iter()
        .map(|p| [p[0] * apart / size, p[1] * apart / size, 0.0])
        .collect();
    Tight { size, poses }
}

/// Poor, but always there.
fn in_a_row(radii: &[f64]) -> Tight {
    let size: f64 = radii.iter().sum();
    let mut left = -size;
    let poses = radii
        .iter()
        .map(|r| {
            left += 2.0 * r;
            [(left - r) / size, 0.0, 0.0]
        })
        .collect();
    Tight { size, poses }
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

    /// Records: the list "cci" of Packomania, see `records`; these are proved to be least.
    #[test]
    fn equal_circles_come_near_the_records() {
        for n in [1, 2, 3, 7, 13, 19] {
            let radii = vec![1.0; n];
            let packed = least_circle(&radii, effort(60)).unwrap();
            let record = records::equal_circles(n).unwrap();
            println!("{n}: {} of {record}", packed.ratio);
            assert!(deepest(&radii, &packed) < 1e-9);
            assert!(
                packed.ratio > record * (1.0 - 1e-9),
                "{n}: {}",
                packed.ratio
            );
            assert!(packed.ratio < record * 1.003, "{n}: {}", packed.ratio);
        }
    }

    #[test]
    fn the_same_effort_gives_the_same_circle() {
        let radii: Vec<f64> = (1..=12).map(f64::from).collect();
        assert_eq!(
            least_circle(&radii, effort(20)),
            least_circle(&radii, effort(20))
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
        fn no_circles_overlap_even_with_hardly_any_effort(radii in prop::collection::vec(0.001f64..900.0, 0..14), rounds in 0u32..6) {
            let packed = least_circle(&radii, effort(rounds)).unwrap();
            prop_assert!(radii.is_empty() || deepest(&radii, &packed) < 1e-9);
        }
    }
}
