//! One shelf: finds places for a set of ware so that nothing overlaps.
//!
//! Squashed shapes: overlaps cost the square of their depth; descent moves ware apart, and what
//! stays squeezed is thrown to another place or swapped. Sources of the method: He, Ye et al.
//! (quasi-physical packing of equal circles), Ye, Huang, Lu, arXiv 1306.0694 (swap and shift of
//! unequal circles).

mod descent;
mod gaps;
mod part;
pub mod rows;
mod scene;
mod search;

use descent::Descent;
pub use gaps::free_gap;
pub use part::Part;
use scene::Scene;
pub use search::{Search, place, squeeze_in, squeeze_in_beside};

use crate::region::Region;

/// A thing to place.
#[derive(Debug, Clone)]
pub struct Body {
    /// Its widest part, any slab, and what of its foot lies outside both.
    pub parts: Vec<Part>,
    /// Gap to other ware; the larger of two counts, m.
    pub gap_m: f64,
    /// Its height above the shelf including supports, m.
    pub top_m: f64,
    /// Radius about its middle that holds it, m.
    pub reach_m: f64,
}

impl Body {
    /// Of parts in its own frame.
    pub fn new(parts: Vec<Part>, gap_m: f64, top_m: f64) -> Self {
        let reach_m = parts.iter().map(Part::reach_m).fold(0.0, f64::max);
        Self {
            parts,
            gap_m,
            top_m,
            reach_m,
        }
    }

    /// Whether it looks the same however it is turned.
    pub fn round(&self) -> bool {
        self.parts
            .iter()
            .all(|p| p.corners.len() == 1 && p.corners[0][0].hypot(p.corners[0][1]) < 1e-9)
    }
}

/// A disc or a rod that ware keeps off.
#[derive(Debug, Clone, Copy)]
pub struct Obstacle {
    /// Ends of a rod; the same twice for a disc, m.
    pub ends: [[f64; 2]; 2],
    normals: [[f64; 2]; 2],
    corners: usize,
    /// Its own radius, m.
    pub solid_m: f64,
    /// Radius with its gap, m.
    pub keep_m: f64,
    /// Only ware taller than this above the shelf meets it, m.
    pub from_m: f64,
}

impl Obstacle {
    /// A disc, met by all ware.
    pub fn disc(at: [f64; 2], solid_m: f64, keep_m: f64) -> Self {
        Self {
            corners: 1,
            ..Self::rod([at, at], solid_m, keep_m, f64::NEG_INFINITY)
        }
    }

    /// A rod from one end to the other.
    pub fn rod(ends: [[f64; 2]; 2], solid_m: f64, keep_m: f64, from_m: f64) -> Self {
        let n = part::normals(&ends);
        Self {
            ends,
            normals: [n[0], n[1]],
            corners: 2,
            solid_m,
            keep_m,
            from_m,
        }
    }

    /// The same, kept further off.
    pub fn wider(self, by_m: f64) -> Self {
        Self {
            keep_m: self.keep_m + by_m,
            ..self
        }
    }

    fn half_m(&self) -> f64 {
        let [a, b] = self.ends;
        (a[0] - b[0]).hypot(a[1] - b[1]) / 2.0
    }

    fn polygon(&self) -> part::Polygon<'_> {
        part::Polygon {
            corners: &self.ends[..self.corners],
            normals: &self.normals[..self.corners],
        }
    }
}

/// Something that ware stays inside of.
#[derive(Debug, Clone)]
pub struct Wall {
    /// Where it runs.
    pub region: Region,
    /// Distance kept off it, m.
    pub keep_m: f64,
}

/// The room on one shelf.
#[derive(Debug, Clone)]
pub struct Room {
    /// Nothing hangs over a shelf's edge (maker article), nor comes near the chamber's wall.
    pub walls: Vec<Wall>,
    /// Posts, sensor, cone packs.
    pub obstacles: Vec<Obstacle>,
}

impl Room {
    /// Corners of a rectangle that holds the first wall, m.
    pub fn bounds(&self) -> [[f64; 2]; 2] {
        let Some(wall) = self.walls.first() else {
            return [[-1.0, -1.0], [1.0, 1.0]];
        };
        wall.region.bounds()
    }
}

/// x, y, turn.
pub type Pose = [f64; 3];

/// Overlaps below this count as none; [`crate::RESERVE_M`] is several times as much.
pub const TOLERANCE_M: f64 = 5e-5;
