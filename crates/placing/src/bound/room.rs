//! The room on one shelf as a convex polygon, drawn round on the outside: areas and perimeters
//! err toward too large, so that what is counted into them is never too little.

use glost_model::furniture::{HALF_CUT, ShelfShape};
use glost_model::shape::Chamber;

/// Sides of the polygon about a round edge: its area is 0.03 % too large.
const SIDES: usize = 96;

/// A half-plane n·p ≤ c.
type Plane = [f64; 3];
type Point = [f64; 2];

/// Where ware may stand on a shelf in its chamber.
#[derive(Debug, Clone)]
pub struct Room {
    shelf: Vec<Plane>,
    chamber: Vec<Plane>,
    wall_m: f64,
    /// Radius of the round edge, when that is all there is.
    round_m: Option<f64>,
}

/// Area and perimeter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// m².
    pub area_m2: f64,
    /// m.
    pub edge_m: f64,
}

fn regular(sides: u8, across_m: f64) -> Vec<Plane> {
    turned(usize::from(sides.max(3)), |_| across_m / 2.0)
}

/// Planes all round, the first toward +y, as far out as `far` says for their normal's x.
fn turned(n: usize, far: impl Fn(f64) -> f64) -> Vec<Plane> {
    (0..n)
        .map(|i| {
            let a = std::f64::consts::FRAC_PI_2 + i as f64 * std::f64::consts::TAU / n as f64;
            [a.cos(), a.sin(), far(a.cos())]
        })
        .collect()
}

fn oval(length_m: f64, width_m: f64) -> Vec<Plane> {
    let half = ((length_m - width_m) / 2.0).max(0.0);
    turned(SIDES, |nx| half * nx.abs() + width_m / 2.0)
}

fn rectangle(x_m: f64, y_m: f64) -> Vec<Plane> {
    let (x, y) = (x_m / 2.0, y_m / 2.0);
    vec![[1.0, 0.0, x], [-1.0, 0.0, x], [0.0, 1.0, y], [0.0, -1.0, y]]
}

fn shelf_planes(s: &ShelfShape) -> Vec<Plane> {
    match *s {
        ShelfShape::Circle { diameter } => oval(diameter.to_m(), diameter.to_m()),
        ShelfShape::Oval { length, width } => oval(length.to_m(), width.to_m()),
        ShelfShape::RegularPolygon {
            sides,
            across_flats,
        } => regular(sides, across_flats.to_m()),
        ShelfShape::Rectangle { width, depth } => rectangle(width.to_m(), depth.to_m()),
    }
}

fn chamber_planes(c: &Chamber) -> Vec<Plane> {
    match *c {
        Chamber::Circle { diameter } => oval(diameter.to_m(), diameter.to_m()),
        Chamber::Oval { length, width } => oval(length.to_m(), width.to_m()),
        Chamber::RegularPolygon {
            sides,
            across_flats,
        } => regular(sides, across_flats.to_m()),
        Chamber::Rectangle { width, depth } => rectangle(width.to_m(), depth.to_m()),
    }
}

impl Room {
    /// The room of a full shelf whose ware keeps `wall_m` off the wall.
    pub fn full(shelf: &ShelfShape, chamber: &Chamber, wall_m: f64) -> Self {
        let round_m = match (*shelf, *chamber) {
            (ShelfShape::Circle { diameter: s }, Chamber::Circle { diameter: c }) => {
                Some((s.to_m() / 2.0).min(c.to_m() / 2.0 - wall_m))
            }
            _ => None,
        };
        Self {
            shelf: shelf_planes(shelf),
            chamber: chamber_planes(chamber),
            wall_m,
            round_m,
        }
    }

    /// That of its left half; the right one is its mirror image.
    pub fn half(mut self) -> Self {
        self.shelf.push([1.0, 0.0, -HALF_CUT.to_m()]);
        self.round_m = None;
        self
    }

    /// Radius of the circle in which ware stands, if the room is one.
    pub fn round_m(&self) -> Option<f64> {
        self.round_m
    }

    fn planes(&self, in_m: f64) -> impl Iterator<Item = Plane> {
        let off = move |by: f64| move |p: &Plane| [p[0], p[1], p[2] - by];
        let shelf = self.shelf.iter().map(off(in_m));
        shelf.chain(self.chamber.iter().map(off(in_m + self.wall_m)))
    }

    /// What is left of it `in_m` from its edges (outward when negative), if anything is.
    pub fn inside(&self, in_m: f64) -> Option<Size> {
        size(&corners(self.planes(in_m)))
    }

    /// How deep in the room, grown by `out_m`, any point lies that keeps `inset_m` from the
    /// shelf's edge; negative if some do not.
    pub fn depth_m(&self, inset_m: f64, out_m: f64) -> f64 {
        let at = corners(self.shelf.iter().map(|p| [p[0], p[1], p[2] - inset_m]));
        self.planes(-out_m)
            .map(|p| p[2] - far(&at, &p))
            .fold(f64::INFINITY, f64::min)
    }

    /// Whether the whole shelf lies `gap_m` within the chamber, to `slack_m`.
    pub fn fits(&self, gap_m: f64, slack_m: f64) -> bool {
        let at = corners(self.shelf.iter().copied());
        self.chamber
            .iter()
            .all(|p| far(&at, p) <= p[2] - gap_m + slack_m)
    }

    /// Distances from the middle to the edges of shelf and chamber along a bearing, m.
    pub fn reach_m(&self, bearing: f64) -> (f64, f64) {
        let (s, c) = bearing.sin_cos();
        let out = |planes: &[Plane]| {
            let along = planes.iter().map(|p| (p[0] * c + p[1] * s, p[2]));
            along
                .filter(|(a, _)| *a > 1e-12)
                .map(|(a, far)| far / a)
                .fold(f64::INFINITY, f64::min)
        };
        (out(&self.shelf), out(&self.chamber))
    }
}

fn far(at: &[Point], p: &Plane) -> f64 {
    at.iter()
        .map(|q| p[0] * q[0] + p[1] * q[1])
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Corners of the meet of half-planes.
fn corners(planes: impl Iterator<Item = Plane>) -> Vec<Point> {
    let big = 50.0;
    let mut ring: Vec<Point> = vec![[-big, -big], [big, -big], [big, big], [-big, big]];
    for p in planes {
        let keep = |q: Point| p[2] - p[0] * q[0] - p[1] * q[1];
        let mut next = Vec::with_capacity(ring.len() + 1);
        for (i, &a) in ring.iter().enumerate() {
            let b = ring[(i + 1) % ring.len()];
            let (ka, kb) = (keep(a), keep(b));
            if ka >= 0.0 {
                next.push(a);
            }
            if (ka > 0.0 && kb < 0.0) || (ka < 0.0 && kb > 0.0) {
                let t = ka / (ka - kb);
                next.push([a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]);
            }
        }
        ring = next;
    }
    ring
}

fn size(ring: &[Point]) -> Option<Size> {
    let next = ring.iter().cycle().skip(1);
    let (mut twice, mut edge_m) = (0.0, 0.0);
    for (a, b) in ring.iter().zip(next) {
        twice += a[0] * b[1] - b[0] * a[1];
        edge_m += (b[0] - a[0]).hypot(b[1] - a[1]);
    }
    (ring.len() > 2).then_some(Size {
        area_m2: twice / 2.0,
        edge_m,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::Length;

    fn m(v: f64) -> Length {
        Length::m(v)
    }

    /// Textbook areas: a disc, a half disc and a rectangle, each a little too large at most.
    #[test]
    fn areas_and_edges_are_never_too_small() {
        let chamber = Chamber::Circle { diameter: m(2.2) };
        let disc = Room::full(&ShelfShape::Circle { diameter: m(2.0) }, &chamber, 0.05);
        let pi = std::f64::consts::PI;
        let near = |got: f64, want: f64| got >= want - 1e-12 && got < want * 1.0005;
        let s = disc.inside(0.1).unwrap();
        assert!(
            near(s.area_m2, 0.81 * pi) && near(s.edge_m, 1.8 * pi),
            "{s:?}"
        );
        // The chamber cuts what is grown.
        let s = disc.inside(-0.2).unwrap();
        assert!(near(s.area_m2, 1.2 * 1.2 * pi), "{s:?}");
        let s = disc.clone().half().inside(0.0).unwrap();
        assert!(near(s.area_m2, pi / 2.0 - 2.0 * 0.002), "{s:?}");
        assert!(disc.inside(1.01).is_none());
        let box_ = Room::full(
            &ShelfShape::Rectangle {
                width: m(0.4),
                depth: m(0.3),
            },
            &Chamber::Rectangle {
                width: m(0.45),
                depth: m(0.45),
            },
            0.0,
        );
        assert_eq!(
            box_.inside(0.05).map(|s| (s.area_m2 * 1e6).round()),
            Some(60_000.0)
        );
        assert!(box_.fits(0.025, 1e-6) && !box_.fits(0.03, 1e-6));
        assert!((box_.depth_m(0.04, 0.004) - 0.044).abs() < 1e-12);
    }
}
