//! From outlines and containers to what the shelf engine works on. Nothing else here knows the engine.

use glost_model::shape::{Chamber, Outline};
use rand_chacha::ChaCha8Rng;

use super::BareShelf;
use crate::cover::cover;
use crate::engine::{self, Body, Obstacle, Part, Room, Wall, rows};
use crate::region::Region;

pub use crate::engine::Pose;
pub use crate::engine::rows::Order;

/// Kept beyond every gap, m: twice what the engine lets overlap, so that a judge finds none.
const KEPT_M: f64 = 1e-4;

/// Where outlines may stand.
pub struct Place(Room);

/// An outline, ready to be placed.
pub struct Shape(Body);

impl Place {
    /// A bare shelf.
    pub fn shelf(shelf: &BareShelf) -> Self {
        let gap_m = shelf.gap.to_m() + KEPT_M;
        let posts = shelf.posts.iter().map(|p| {
            let r_m = p.radius.to_m();
            Obstacle::disc([p.x.to_m(), p.y.to_m()], r_m, r_m + gap_m)
        });
        Self(Room {
            walls: vec![Wall {
                region: Region::chamber(&shelf.form),
                keep_m: shelf.edge_gap.to_m() + KEPT_M,
            }],
            obstacles: posts.collect(),
        })
    }

    /// An empty disc without any gaps.
    pub fn disc(radius_m: f64) -> Self {
        Self(Room {
            walls: vec![Wall {
                region: Region::disc(radius_m),
                keep_m: 0.0,
            }],
            obstacles: Vec::new(),
        })
    }

    /// Where each falls when they are dropped in this order, see [`engine::rows`].
    pub fn fallen(&self, shapes: &[Shape], order: &Order) -> Vec<Option<Pose>> {
        let bodies: Vec<&Body> = shapes.iter().map(|s| &s.0).collect();
        rows::fallen(&self.0, &bodies, order)
    }

    /// Places for all, or none after `tries` descents.
    pub fn fit(
        &self,
        shapes: &[&Shape],
        start: &[Option<Pose>],
        tries: usize,
        rng: &mut ChaCha8Rng,
    ) -> Option<Vec<Pose>> {
        let bodies: Vec<&Body> = shapes.iter().map(|s| &s.0).collect();
        engine::place(&self.0, &bodies, start, tries, rng)
    }
}

/// The order in which shapes are dropped at first.
pub fn first_order(shapes: &[Shape]) -> Order {
    let bodies: Vec<&Body> = shapes.iter().map(|s| &s.0).collect();
    Order::by_size(&bodies)
}

impl Shape {
    /// An outline blown up by `scale`, that keeps `gap_m` to others.
    pub fn outline(outline: &Outline, scale: f64, gap_m: f64) -> Self {
        let parts = cover(&outline.scaled(scale));
        Self(Body::new(parts, gap_m + KEPT_M, 1.0))
    }

    /// A disc that others may touch.
    pub fn disc(radius_m: f64) -> Self {
        Self(Body::new(vec![Part::disc([0.0, 0.0], radius_m)], 0.0, 1.0))
    }
}

/// Size along x and y, m. A polygon's is across its flats.
pub fn extent_m(form: &Chamber) -> (f64, f64) {
    match *form {
        Chamber::Circle { diameter: d }
        | Chamber::RegularPolygon {
            across_flats: d, ..
        } => (d.to_m(), d.to_m()),
        Chamber::Oval { length, width } => (length.to_m(), width.to_m()),
        Chamber::Rectangle { width, depth } => (width.to_m(), depth.to_m()),
    }
}

/// Area, m².
pub fn area_m2(form: &Chamber) -> f64 {
    let (w, h) = extent_m(form);
    let pi = std::f64::consts::PI;
    match *form {
        Chamber::Circle { .. } => pi / 4.0 * w * w,
        Chamber::RegularPolygon { sides, .. } => {
            let n = f64::from(sides.max(3));
            n * w * w / 4.0 * (pi / n).tan()
        }
        Chamber::Oval { .. } => pi / 4.0 * h * h + (w - h).max(0.0) * h,
        Chamber::Rectangle { .. } => w * h,
    }
}
