//! All outlines in a rectangle of given height, as narrow as it gets.

use glost_model::Length;
use glost_model::shape::{Chamber, Outline};

use super::adapter::{Place, Pose, Shape};
use super::tighten::{Tight, tighten};
use super::{BareError, BareShelf, Effort, Stand, outlines_are_sizes};

/// Descents for one width.
const TRIES: usize = 12;
/// Density that is reached with ease.
const EASY: f64 = 0.5;

/// All outlines in a rectangle.
#[derive(Debug, Clone, PartialEq)]
pub struct Strip {
    /// Its size along x; the height along y was given. Its middle is the origin.
    pub width: Length,
    /// Where they stand, in their order.
    pub poses: Vec<Stand>,
}

/// The least width found of a rectangle of this height that holds all, with one gap between them
/// and to its four sides.
///
/// # Errors
/// [`BareError::NoSize`] for an outline, height or gap without a size, [`BareError::NotFound`] when no width
/// was found (something is higher than the rectangle), and without outlines.
pub fn narrowest(
    height: Length,
    shapes: &[Outline],
    gap: Length,
    effort: Effort,
) -> Result<Strip, BareError> {
    let strip = |width_m: f64| BareShelf {
        form: Chamber::Rectangle {
            width: Length::m(width_m),
            depth: height,
        },
        posts: Vec::new(),
        gap,
        edge_gap: gap,
    };
    outlines_are_sizes(shapes)?;
    strip(1.0).is_sound()?;
    let ready: Vec<Shape> = shapes
        .iter()
        .map(|s| Shape::outline(s, 1.0, gap.to_m()))
        .collect();
    let ready: Vec<&Shape> = ready.iter().collect();
    let own_m2: f64 = shapes.iter().map(|s| s.area().to_m2()).sum();
    let longest_m = shapes
        .iter()
        .map(|s| s.extent())
        .map(|(l, w)| l.max(w).to_m())
        .fold(0.0, f64::max);
    let first = (own_m2 / (EASY * height.to_m())).max(longest_m) + 2.0 * gap.to_m();
    let mut before_m = first;
    let found = tighten(first, effort, &mut |width_m, start, rng| {
        let squeeze = width_m / before_m;
        let start: Vec<Option<Pose>> = start
            .unwrap_or_default()
            .iter()
            .map(|p| Some([p[0] * squeeze, p[1], p[2]]))
            .collect();
        let poses = Place::shelf(&strip(width_m)).fit(&ready, &start, TRIES, rng)?;
        before_m = width_m;
        Some(Tight {
            size: width_m,
            poses,
        })
    });
    let found = found
        .filter(|_| !shapes.is_empty())
        .ok_or(BareError::NotFound("no width was found that holds all"))?;
    Ok(Strip {
        width: Length::m(found.size),
        poses: found.poses.iter().map(Stand::of).collect(),
    })
}
