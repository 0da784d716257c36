//! Shapes as polygons: ware drawn round on the outside, shelves and chambers on the inside, so
//! that every answer errs toward refusing, by less than 0.02 mm.

use std::cell::OnceCell;

use geo::{Coord, Distance as _, Euclidean, LineString, Point, Polygon};
use glost_model::furniture::{HALF_CUT, ShelfShape};
use glost_model::load::Side;
use glost_model::shape::{Chamber, Outline};

/// Corners of a drawn circle.
const CORNERS: usize = 360;

/// Something that stands in the kiln, seen from above.
pub struct Body {
    /// Drawn when first asked for: most things are never near enough to another.
    polygon: OnceCell<Polygon<f64>>,
    /// Exact, when it is a circle.
    circle: Option<(Coord<f64>, f64)>,
    middle: Coord<f64>,
    reach: f64,
}

fn closed(points: Vec<Coord<f64>>) -> Polygon<f64> {
    Polygon::new(LineString::from(points), Vec::new())
}

fn around(a: f64, b: f64) -> impl Iterator<Item = Coord<f64>> {
    (0..CORNERS).map(move |i| {
        let (s, c) = (i as f64 * std::f64::consts::TAU / CORNERS as f64).sin_cos();
        Coord { x: a * c, y: b * s }
    })
}

impl Body {
    /// An outline turned and moved into the kiln.
    pub fn outline(outline: &Outline, x: f64, y: f64, turn: f64) -> Self {
        let grow = 1.0 / (std::f64::consts::PI / CORNERS as f64).cos();
        let local: Vec<Coord<f64>> = match outline {
            Outline::Circle { diameter } => return Self::disc(x, y, diameter.to_m() / 2.0),
            Outline::Ellipse { length, width } => {
                around(length.to_m() / 2.0 * grow, width.to_m() / 2.0 * grow).collect()
            }
            Outline::Rectangle { length, width } => {
                let (a, b) = (length.to_m() / 2.0, width.to_m() / 2.0);
                [(-a, -b), (a, -b), (a, b), (-a, b)]
                    .map(|(x, y)| Coord { x, y })
                    .to_vec()
            }
            Outline::Polygon { points } => points
                .iter()
                .map(|p| Coord {
                    x: p.x.to_m(),
                    y: p.y.to_m(),
                })
                .collect(),
        };
        let (s, c) = turn.sin_cos();
        let reach = local.iter().map(|p| p.x.hypot(p.y)).fold(0.0, f64::max);
        let points = local
            .into_iter()
            .map(|p| Coord {
                x: x + c * p.x - s * p.y,
                y: y + s * p.x + c * p.y,
            })
            .collect();
        Self {
            polygon: OnceCell::from(closed(points)),
            circle: None,
            middle: Coord { x, y },
            reach,
        }
    }

    /// A disc.
    pub fn disc(x: f64, y: f64, r: f64) -> Self {
        let middle = Coord { x, y };
        Self {
            polygon: OnceCell::new(),
            circle: Some((middle, r)),
            middle,
            reach: r,
        }
    }

    /// Free distance between two, 0 when they meet. Exact for two circles; for others it may be
    /// given a little too small, never too large. Far apart, a lower estimate serves.
    pub fn distance(&self, other: &Self, enough: f64) -> f64 {
        let apart = (self.middle.x - other.middle.x).hypot(self.middle.y - other.middle.y);
        if let (Some((_, a)), Some((_, b))) = (self.circle, other.circle) {
            return (apart - a - b).max(0.0);
        }
        let least = apart - self.reach - other.reach;
        if least > enough {
            return least;
        }
        match (self.circle, other.circle) {
            (Some((at, r)), None) => other.apart_from(at) - r,
            (None, Some((at, r))) => self.apart_from(at) - r,
            _ => Euclidean.distance(self.polygon(), other.polygon()),
        }
        .max(0.0)
    }

    /// Distance from a point, 0 inside.
    fn apart_from(&self, p: Coord<f64>) -> f64 {
        Euclidean.distance(&Point(p), self.polygon())
    }

    fn polygon(&self) -> &Polygon<f64> {
        self.polygon.get_or_init(|| {
            let grow = self.reach / (std::f64::consts::PI / CORNERS as f64).cos();
            let points = around(grow, grow).map(|p| Coord {
                x: self.middle.x + p.x,
                y: self.middle.y + p.y,
            });
            closed(points.collect())
        })
    }

    /// Corners of its outline.
    fn corners(&self) -> &[Coord<f64>] {
        &self.polygon().exterior().0
    }
}

/// A convex place that holds things.
pub struct Place {
    /// Corners, counter-clockwise.
    ring: Vec<Coord<f64>>,
    edges: Vec<Edge>,
}

/// The line through one edge: unit normal inwards, and how far the origin lies inside.
struct Edge {
    x: f64,
    y: f64,
    origin: f64,
}

fn regular(sides: u8, across: f64) -> Vec<Coord<f64>> {
    let n = f64::from(sides);
    let r = across / 2.0 / (std::f64::consts::PI / n).cos();
    (0..sides)
        .map(|i| {
            // A flat faces +y, so corners lie half a step to either side of it.
            let a = std::f64::consts::FRAC_PI_2 + (f64::from(i) - 0.5) * std::f64::consts::TAU / n;
            Coord {
                x: r * a.cos(),
                y: r * a.sin(),
            }
        })
        .collect()
}

fn oval(length: f64, width: f64) -> Vec<Coord<f64>> {
    let shift = (length - width) / 2.0;
    around(width / 2.0, width / 2.0)
        .map(|p| Coord {
            x: p.x
                + shift
                    * if p.x > 1e-12 {
                        1.0
                    } else if p.x < -1e-12 {
                        -1.0
                    } else {
                        0.0
                    },
            y: p.y,
        })
        .collect()
}

fn rectangle(width: f64, depth: f64) -> Vec<Coord<f64>> {
    let (a, b) = (width / 2.0, depth / 2.0);
    [(-a, -b), (a, -b), (a, b), (-a, b)]
        .map(|(x, y)| Coord { x, y })
        .to_vec()
}

impl Place {
    fn new(ring: Vec<Coord<f64>>) -> Self {
        let ends = ring.iter().zip(ring.iter().cycle().skip(1));
        let edges = ends.filter_map(|(a, b)| {
            let (dx, dy) = (b.x - a.x, b.y - a.y);
            let len = dx.hypot(dy);
            (len > 1e-12).then(|| Edge {
                x: -dy / len,
                y: dx / len,
                origin: (dy * a.x - dx * a.y) / len,
            })
        });
        let edges = edges.collect();
        Self { ring, edges }
    }

    /// A kiln's chamber.
    pub fn chamber(c: &Chamber) -> Self {
        Self::new(match *c {
            Chamber::Circle { diameter } => oval(diameter.to_m(), diameter.to_m()),
            Chamber::RegularPolygon {
                sides,
                across_flats,
            } => regular(sides, across_flats.to_m()),
            Chamber::Oval { length, width } => oval(length.to_m(), width.to_m()),
            Chamber::Rectangle { width, depth } => rectangle(width.to_m(), depth.to_m()),
        })
    }

    /// A shelf in its place.
    pub fn shelf(s: &ShelfShape, side: Side) -> Self {
        let whole = match *s {
            ShelfShape::Circle { diameter } => oval(diameter.to_m(), diameter.to_m()),
            ShelfShape::RegularPolygon {
                sides,
                across_flats,
            } => regular(sides, across_flats.to_m()),
            ShelfShape::Oval { length, width } => oval(length.to_m(), width.to_m()),
            ShelfShape::Rectangle { width, depth } => rectangle(width.to_m(), depth.to_m()),
        };
        let cut = HALF_CUT.to_m();
        match side {
            Side::Full => Self::new(whole),
            Side::Left => Self::new(clip(&whole, |p| -cut - p.x)),
            Side::Right => Self::new(clip(&whole, |p| p.x - cut)),
        }
    }

    /// An outline about the origin; nothing for a free one, which need not be convex.
    pub fn outline(o: &Outline) -> Option<Self> {
        Some(Self::new(match o {
            Outline::Circle { diameter } => oval(diameter.to_m(), diameter.to_m()),
            Outline::Ellipse { length, width } => {
                around(length.to_m() / 2.0, width.to_m() / 2.0).collect()
            }
            Outline::Rectangle { length, width } => rectangle(length.to_m(), width.to_m()),
            Outline::Polygon { .. } => return None,
        }))
    }

    /// How deep a point lies inside; negative outside.
    pub fn depth(&self, p: Coord<f64>) -> f64 {
        let of = |e: &Edge| e.x * p.x + e.y * p.y + e.origin;
        self.edges.iter().map(of).fold(f64::INFINITY, f64::min)
    }

    /// How deep the outermost part of a body lies inside; negative when it sticks out.
    pub fn margin(&self, body: &Body) -> f64 {
        match body.circle {
            Some((at, r)) => self.depth(at) - r,
            None => body
                .corners()
                .iter()
                .map(|p| self.depth(*p))
                .fold(f64::INFINITY, f64::min),
        }
    }

    /// How deep the outermost part of another place lies inside.
    pub fn margin_of(&self, other: &Self) -> f64 {
        other
            .ring
            .iter()
            .map(|p| self.depth(*p))
            .fold(f64::INFINITY, f64::min)
    }

    /// Distance from a body to this place, 0 when they meet.
    pub fn distance(&self, body: &Body) -> f64 {
        let own = || closed(self.ring.clone());
        match body.circle {
            Some((at, r)) => (Euclidean.distance(&Point(at), &own()) - r).max(0.0),
            None => Euclidean.distance(&own(), body.polygon()),
        }
    }

    /// Centre of its area.
    pub fn centroid(&self) -> Coord<f64> {
        use geo::Centroid as _;
        closed(self.ring.clone())
            .centroid()
            .map_or(Coord { x: 0.0, y: 0.0 }, |p| p.0)
    }

    /// The convex hull of some points.
    pub fn hull(points: &[Coord<f64>]) -> Self {
        use geo::ConvexHull as _;
        let mut ring = geo::MultiPoint::from(points.to_vec())
            .convex_hull()
            .exterior()
            .0
            .clone();
        ring.pop();
        Self::new(ring)
    }

    /// Where a ray from the origin leaves it.
    pub fn edge(&self, angle: f64) -> Coord<f64> {
        let (s, c) = angle.sin_cos();
        let n = self.ring.len();
        let t = (0..n)
            .filter_map(|i| {
                let (a, b) = (self.ring[i], self.ring[(i + 1) % n]);
                let (nx, ny) = (b.y - a.y, a.x - b.x);
                let along = nx * c + ny * s;
                (along > 1e-15).then(|| (nx * a.x + ny * a.y) / along)
            })
            .fold(f64::INFINITY, f64::min);
        Coord { x: t * c, y: t * s }
    }
}

/// Keeps the part of a convex ring where `keep` is not negative (linear in the point).
fn clip(ring: &[Coord<f64>], keep: impl Fn(Coord<f64>) -> f64) -> Vec<Coord<f64>> {
    let mut out = Vec::new();
    for (i, &a) in ring.iter().enumerate() {
        let b = ring[(i + 1) % ring.len()];
        let (ka, kb) = (keep(a), keep(b));
        if ka >= 0.0 {
            out.push(a);
        }
        if (ka > 0.0 && kb < 0.0) || (ka < 0.0 && kb > 0.0) {
            let t = ka / (ka - kb);
            out.push(Coord {
                x: a.x + t * (b.x - a.x),
                y: a.y + t * (b.y - a.y),
            });
        }
    }
    out
}
