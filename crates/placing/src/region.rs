//! Convex regions in plan: half-planes, and a capsule for round and oval outlines.

use glost_model::furniture::{HALF_CUT, ShelfShape};
use glost_model::load::Side;
use glost_model::shape::Chamber;

/// The points with n·p ≤ c for every half-plane, and within `radius_m` of the capsule's segment.
#[derive(Debug, Clone)]
pub struct Region {
    planes: Vec<[f64; 3]>,
    capsule: Option<(f64, f64)>,
}

fn polygon(sides: u8, across_m: f64) -> Vec<[f64; 3]> {
    let step = std::f64::consts::TAU / f64::from(sides.max(3));
    (0..sides.max(3))
        .map(|i| {
            let a = std::f64::consts::FRAC_PI_2 + f64::from(i) * step;
            [a.cos(), a.sin(), across_m / 2.0]
        })
        .collect()
}

fn rectangle(half_x_m: f64, half_y_m: f64) -> Vec<[f64; 3]> {
    vec![
        [1.0, 0.0, half_x_m],
        [-1.0, 0.0, half_x_m],
        [0.0, 1.0, half_y_m],
        [0.0, -1.0, half_y_m],
    ]
}

fn oval(length_m: f64, width_m: f64) -> Region {
    let half = ((length_m - width_m) / 2.0).max(0.0);
    Region {
        planes: Vec::new(),
        capsule: Some((half, width_m / 2.0)),
    }
}

impl Region {
    /// A disc about the origin.
    pub fn disc(radius_m: f64) -> Self {
        oval(2.0 * radius_m, 2.0 * radius_m)
    }

    /// The chamber of a kiln.
    pub fn chamber(c: &Chamber) -> Self {
        match *c {
            Chamber::Circle { diameter } => oval(diameter.to_m(), diameter.to_m()),
            Chamber::Oval { length, width } => oval(length.to_m(), width.to_m()),
            Chamber::RegularPolygon {
                sides,
                across_flats,
            } => Self {
                planes: polygon(sides, across_flats.to_m()),
                capsule: None,
            },
            Chamber::Rectangle { width, depth } => Self {
                planes: rectangle(width.to_m() / 2.0, depth.to_m() / 2.0),
                capsule: None,
            },
        }
    }

    /// A shelf in its place.
    pub fn shelf(s: &ShelfShape, side: Side) -> Self {
        let whole = match *s {
            ShelfShape::Circle { diameter } => oval(diameter.to_m(), diameter.to_m()),
            ShelfShape::Oval { length, width } => oval(length.to_m(), width.to_m()),
            ShelfShape::RegularPolygon {
                sides,
                across_flats,
            } => Self {
                planes: polygon(sides, across_flats.to_m()),
                capsule: None,
            },
            ShelfShape::Rectangle { width, depth } => Self {
                planes: rectangle(width.to_m() / 2.0, depth.to_m() / 2.0),
                capsule: None,
            },
        };
        whole.cut(side, HALF_CUT.to_m())
    }

    /// Keeps the part on one side that is at least `off_m` from the y axis.
    pub fn cut(mut self, side: Side, off_m: f64) -> Self {
        match side {
            Side::Full => {}
            Side::Left => self.planes.push([1.0, 0.0, -off_m]),
            Side::Right => self.planes.push([-1.0, 0.0, -off_m]),
        }
        self
    }

    /// How far a disc sticks out (positive) and the unit direction outward at its worst place.
    pub fn excess(&self, p: [f64; 2], r_m: f64) -> (f64, [f64; 2]) {
        let mut worst = (f64::NEG_INFINITY, [0.0, 0.0]);
        for &[nx, ny, c] in &self.planes {
            let e = nx * p[0] + ny * p[1] + r_m - c;
            if e > worst.0 {
                worst = (e, [nx, ny]);
            }
        }
        if let Some((half, radius)) = self.capsule {
            let dx = p[0] - p[0].clamp(-half, half);
            let d = (dx * dx + p[1] * p[1]).sqrt();
            let e = d + r_m - radius;
            if e > worst.0 {
                worst = (
                    e,
                    if d > 0.0 {
                        [dx / d, p[1] / d]
                    } else {
                        [0.0, 1.0]
                    },
                );
            }
        }
        worst
    }

    /// Its corners, if it is an upright rectangle, m.
    pub fn rectangle(&self) -> Option<[[f64; 2]; 2]> {
        let mut out = [[f64::NEG_INFINITY; 2], [f64::INFINITY; 2]];
        for &[nx, ny, c] in &self.planes {
            match (nx, ny) {
                (1.0, 0.0) => out[1][0] = c.min(out[1][0]),
                (-1.0, 0.0) => out[0][0] = (-c).max(out[0][0]),
                (0.0, 1.0) => out[1][1] = c.min(out[1][1]),
                (0.0, -1.0) => out[0][1] = (-c).max(out[0][1]),
                _ => return None,
            }
        }
        let whole = out.iter().flatten().all(|v| v.is_finite());
        (whole && self.capsule.is_none()).then_some(out)
    }

    /// Whether a disc lies inside, found without a root.
    pub fn holds(&self, p: [f64; 2], r_m: f64) -> bool {
        let planes = || {
            self.planes
                .iter()
                .all(|[nx, ny, c]| nx * p[0] + ny * p[1] + r_m <= *c)
        };
        self.capsule.is_none_or(|(half, radius)| {
            let dx = p[0] - p[0].clamp(-half, half);
            let room = radius - r_m;
            room >= 0.0 && dx * dx + p[1] * p[1] <= room * room
        }) && planes()
    }

    /// Every edge that a disc sticks out over: by how much, and the unit direction outward.
    pub fn each_excess(&self, p: [f64; 2], r_m: f64, mut tell: impl FnMut(f64, [f64; 2])) {
        for &[nx, ny, c] in &self.planes {
            let e = nx * p[0] + ny * p[1] + r_m - c;
            if e > 0.0 {
                tell(e, [nx, ny]);
            }
        }
        if let Some((half, radius)) = self.capsule {
            let dx = p[0] - p[0].clamp(-half, half);
            let d = (dx * dx + p[1] * p[1]).sqrt();
            let e = d + r_m - radius;
            if e > 0.0 && d > 0.0 {
                tell(e, [dx / d, p[1] / d]);
            }
        }
    }

    /// How far one can go from the origin's projection in a direction before leaving, for a disc.
    pub fn reach(&self, from: [f64; 2], dir: [f64; 2], r_m: f64) -> f64 {
        let (mut lo, mut hi) = (0.0, 4.0);
        for _ in 0..50 {
            let mid = (lo + hi) / 2.0;
            if self
                .excess([from[0] + dir[0] * mid, from[1] + dir[1] * mid], r_m)
                .0
                <= 0.0
            {
                lo = mid
            } else {
                hi = mid
            }
        }
        lo
    }

    /// Corners of the smallest upright rectangle that holds it, m. For regions within 2 m of the origin.
    pub fn bounds(&self) -> [[f64; 2]; 2] {
        let far = |dir: [f64; 2]| self.reach([0.0, 0.0], dir, -2.0) - 2.0;
        [
            [-far([-1.0, 0.0]), -far([0.0, -1.0])],
            [far([1.0, 0.0]), far([0.0, 1.0])],
        ]
    }

    /// Area, centroid and extent by fine strips; good to about 0.01 %.
    pub fn measure(&self) -> Measure {
        self.measure_inside(0.0)
    }

    /// The same of the part where a disc of this radius fits.
    pub fn measure_inside(&self, r_m: f64) -> Measure {
        let mut m = Measure::default();
        const N: usize = 2000;
        let (lo, hi) = (
            2.0 - self.reach([0.0, 0.0], [-1.0, 0.0], -2.0),
            self.reach([0.0, 0.0], [1.0, 0.0], -2.0) - 2.0,
        );
        let step = (hi - lo) / N as f64;
        let mut sx = 0.0;
        for i in 0..N {
            let x = lo + (i as f64 + 0.5) * step;
            let h = if self.excess([x, 0.0], r_m).0 > 0.0 {
                0.0
            } else {
                2.0 * self.reach([x, 0.0], [0.0, 1.0], r_m)
            };
            if h > 0.0 {
                m.area_m2 += h * step;
                sx += h * step * x;
                m.min_x_m = m.min_x_m.min(x);
                m.max_x_m = m.max_x_m.max(x);
            }
        }
        if m.area_m2 > 0.0 {
            m.centroid_x_m = sx / m.area_m2;
        }
        m
    }
}

/// What [`Region::measure`] finds. All shelves are symmetric about the x axis.
#[derive(Debug, Clone, Copy)]
pub struct Measure {
    /// Area, m².
    pub area_m2: f64,
    /// Centroid, m.
    pub centroid_x_m: f64,
    /// Leftmost, m.
    pub min_x_m: f64,
    /// Rightmost, m.
    pub max_x_m: f64,
}

impl Default for Measure {
    fn default() -> Self {
        Self {
            area_m2: 0.0,
            centroid_x_m: 0.0,
            min_x_m: f64::INFINITY,
            max_x_m: f64::NEG_INFINITY,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::Length;

    #[test]
    fn half_disc_has_its_textbook_centroid() {
        let r = Region::shelf(
            &ShelfShape::Circle {
                diameter: Length::m(2.0),
            },
            Side::Left,
        );
        let m = r.measure();
        assert!(
            (m.area_m2 - std::f64::consts::FRAC_PI_2).abs() < 0.01,
            "{m:?}"
        );
        assert!(
            (m.centroid_x_m + 4.0 / (3.0 * std::f64::consts::PI)).abs() < 0.005,
            "{m:?}"
        );
    }

    #[test]
    fn octagon_reaches_its_flats_and_not_its_neighbours_corners() {
        let r = Region::chamber(&Chamber::RegularPolygon {
            sides: 8,
            across_flats: Length::m(1.0),
        });
        assert!((r.reach([0.0, 0.0], [0.0, 1.0], 0.1) - 0.4).abs() < 1e-9);
        assert!((r.measure().area_m2 - 2.0 * (2f64.sqrt() - 1.0)).abs() < 1e-3);
    }
}
