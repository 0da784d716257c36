//! From outlines and containers to what the shelf engine works on. Nothing else here knows the engine.

use glost_model::shape::{Chamber, Outline};
use rand_chacha::ChaCha8Rng;

use super::BareShelf;
use crate::cover::{Disc, cover};
use crate::engine::{self, Body, Obstacle, Room};
use crate::region::Region;

pub use crate::engine::Pose;

/// Kept beyond every gap, m: twice what the engine lets overlap, so that a judge finds none.
const KEPT_M: f64 = 1e-4;
/// The engine keeps a reserve to the shelf's edge. Here the chamber's wall alone counts, so the shelf
/// reaches this far beyond it, m.
const BEYOND_M: f64 = 1e-3;

/// Where outlines may stand.
pub struct Place(Room);

/// An outline, ready to be placed.
pub struct Shape(Body);

impl Place {
    /// A bare shelf.
    pub fn shelf(shelf: &BareShelf) -> Self {
        let gap_m = shelf.gap.to_m() + KEPT_M;
        let posts = shelf.posts.iter().map(|p| Obstacle {
            at: [p.x.to_m(), p.y.to_m()],
            solid_m: p.radius.to_m(),
            keep_m: p.radius.to_m() + gap_m,
            from_m: 0.0,
        });
        Self(Room {
            shelf: Region::chamber(&grown(&shelf.form)),
            chamber: Region::chamber(&shelf.form),
            wall_gap_m: shelf.edge_gap.to_m() + KEPT_M,
            obstacles: posts.collect(),
        })
    }

    /// An empty disc without any gaps.
    pub fn disc(radius_m: f64) -> Self {
        let form = Chamber::Circle {
            diameter: glost_model::Length::m(2.0 * radius_m),
        };
        Self(Room {
            shelf: Region::chamber(&grown(&form)),
            chamber: Region::chamber(&form),
            wall_gap_m: 0.0,
            obstacles: Vec::new(),
        })
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

impl Shape {
    /// An outline blown up by `scale`, that keeps `gap_m` to others.
    pub fn outline(outline: &Outline, scale: f64, gap_m: f64) -> Self {
        let round = matches!(outline, Outline::Circle { .. });
        Self::of(cover(&outline.scaled(scale)), gap_m + KEPT_M, !round)
    }

    /// A disc that others may touch.
    pub fn disc(radius_m: f64) -> Self {
        let disc = Disc {
            at: [0.0, 0.0],
            r_m: radius_m,
        };
        Self::of(vec![disc], 0.0, false)
    }

    fn of(widest: Vec<Disc>, gap_m: f64, turns: bool) -> Self {
        Self(Body {
            widest,
            foot: Vec::new(),
            gap_m,
            top_m: 1.0,
            turns,
        })
    }
}

fn grown(form: &Chamber) -> Chamber {
    let by = glost_model::Length::m(2.0 * BEYOND_M);
    match *form {
        Chamber::Circle { diameter } => Chamber::Circle {
            diameter: diameter + by,
        },
        Chamber::RegularPolygon {
            sides,
            across_flats,
        } => Chamber::RegularPolygon {
            sides,
            across_flats: across_flats + by,
        },
        Chamber::Oval { length, width } => Chamber::Oval {
            length: length + by,
            width: width + by,
        },
        Chamber::Rectangle { width, depth } => Chamber::Rectangle {
            width: width + by,
            depth: depth + by,
        },
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
