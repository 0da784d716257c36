//! All outlines on one shelf, blown up as far as they go.

use glost_model::shape::Outline;

use super::adapter::{Place, Pose, Shape};
use super::tighten::{Tight, tighten};
use super::{BareError, BareShelf, Effort, Stand, outlines_are_sizes};

/// Descents for one scale.
const TRIES: usize = 12;
/// Density that is reached with ease.
const EASY: f64 = 0.5;

/// All outlines at their largest common scale.
#[derive(Debug, Clone, PartialEq)]
pub struct Scaled {
    /// Factor on every outline; gaps and posts keep their size.
    pub scale: f64,
    /// Area of the scaled outlines over that of the whole shelf.
    pub density: f64,
    /// Where they stand, in their order.
    pub poses: Vec<Stand>,
}

/// The largest common scale found at which all outlines stand on the shelf with their gaps.
///
/// # Errors
/// [`BareError::NoSize`] for an outline or shelf without a size, [`BareError::NotFound`] when no scale was
/// found, and without outlines.
pub fn densest(shelf: &BareShelf, shapes: &[Outline], effort: Effort) -> Result<Scaled, BareError> {
    shelf.is_sound()?;
    outlines_are_sizes(shapes)?;
    let place = Place::shelf(shelf);
    let own_m2: f64 = shapes.iter().map(|s| s.area().to_m2()).sum();
    let first = (own_m2 / (EASY * shelf.area_m2())).sqrt();
    let gap_m = shelf.gap.to_m();
    let found = tighten(first, effort, &mut |size, start, rng| {
        let ready: Vec<Shape> = shapes
            .iter()
            .map(|s| Shape::outline(s, 1.0 / size, gap_m))
            .collect();
        let ready: Vec<&Shape> = ready.iter().collect();
        let start: Vec<Option<Pose>> = start.unwrap_or_default().iter().map(|p| Some(*p)).collect();
        let poses = place.fit(&ready, &start, TRIES, rng)?;
        Some(Tight { size, poses })
    });
    let found = found
        .filter(|_| !shapes.is_empty())
        .ok_or(BareError::NotFound("no scale was found at which all stand"))?;
    let scale = 1.0 / found.size;
    Ok(Scaled {
        scale,
        density: own_m2 * scale * scale / shelf.area_m2(),
        poses: found.poses.iter().map(Stand::of).collect(),
    })
}
