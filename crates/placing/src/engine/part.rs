//! Convex shapes with rounded rims, and how far two of them are apart.

/// All points within `r_m` of a convex polygon: a disc has one corner, a rectangle four and no radius.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Corners, counter-clockwise, in the body's own frame, m.
    pub corners: Vec<[f64; 2]>,
    /// Rounding, m.
    pub r_m: f64,
}

impl Part {
    /// A disc.
    pub fn disc(at: [f64; 2], r_m: f64) -> Self {
        Self {
            corners: vec![at],
            r_m,
        }
    }

    /// Distance of a point from it, m; negative inside.
    pub fn distance_m(&self, p: [f64; 2]) -> f64 {
        let polygon = Polygon {
            corners: &self.corners,
            normals: &normals(&self.corners),
        };
        let point = Polygon {
            corners: &[p],
            normals: &[],
        };
        apart(polygon, point, f64::INFINITY).d_m - self.r_m
    }

    /// Radius about the body's middle that holds it, m.
    pub fn reach_m(&self) -> f64 {
        let far = |p: &[f64; 2]| p[0].hypot(p[1]);
        self.corners.iter().map(far).fold(0.0, f64::max) + self.r_m
    }
}

/// How two convex polygons lie to one another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Apart {
    /// Distance; negative: how far one must move to be free, m.
    pub d_m: f64,
    /// Unit direction from the second toward the first.
    pub dir: [f64; 2],
    /// Where the first is nearest or deepest.
    pub on_a: [f64; 2],
    /// The same of the second.
    pub on_b: [f64; 2],
}

fn sub(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}

/// Outward unit normal of every edge of a counter-clockwise polygon; none of a single point.
pub fn normals(corners: &[[f64; 2]]) -> Vec<[f64; 2]> {
    if corners.len() < 2 {
        return vec![[0.0, 0.0]; corners.len()];
    }
    let next = corners.iter().cycle().skip(1);
    corners
        .iter()
        .zip(next)
        .map(|(p, q)| {
            let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
            let len = (dx * dx + dy * dy).sqrt().max(1e-12);
            [dy / len, -dx / len]
        })
        .collect()
}

/// A convex polygon in its place, with the normals of its edges; one point and two are fine.
#[derive(Debug, Clone, Copy)]
pub struct Polygon<'p> {
    /// Corners, counter-clockwise.
    pub corners: &'p [[f64; 2]],
    /// [`normals`] of the corners.
    pub normals: &'p [[f64; 2]],
}

impl Polygon<'_> {
    fn edge(&self, k: usize) -> ([f64; 2], [f64; 2]) {
        (self.corners[k], self.corners[(k + 1) % self.corners.len()])
    }

    /// Whether `v` lies straight out from an edge.
    fn squarely(&self, k: usize, v: [f64; 2]) -> bool {
        let (p, q) = self.edge(k);
        let d = sub(q, p);
        let t = dot(sub(v, p), d);
        t >= 0.0 && t <= dot(d, d)
    }

    /// Nearest point to `v`, which lies outside, walking along the rim from an edge that looks at it.
    fn nearest(&self, mut k: usize, v: [f64; 2]) -> [f64; 2] {
        let n = self.corners.len();
        let mut came = 0_i8;
        for _ in 0..n {
            let (p, q) = self.edge(k);
            let d = sub(q, p);
            let t = dot(sub(v, p), d) / dot(d, d).max(1e-18);
            let step = if t < 0.0 {
                -1
            } else if t > 1.0 {
                1
            } else {
                return [p[0] + t * d[0], p[1] + t * d[1]];
            };
            // Back and forth: the corner between the two edges is nearest.
            if came == -step {
                return if step < 0 { p } else { q };
            }
            came = step;
            k = if step < 0 {
                (k + n - 1) % n
            } else {
                (k + 1) % n
            };
        }
        self.corners[k]
    }
}

/// Two points: any direction will do when they coincide.
fn of_points(a: [f64; 2], b: [f64; 2]) -> Apart {
    let d = sub(a, b);
    let d_m = (d[0] * d[0] + d[1] * d[1]).sqrt();
    let dir = if d_m > 1e-12 {
        [d[0] / d_m, d[1] / d_m]
    } else {
        [1.0, 0.0]
    };
    Apart {
        d_m,
        dir,
        on_a: a,
        on_b: b,
    }
}

/// The edge of `a` that looks most away from `b`.
struct Looks {
    gap: f64,
    edge: usize,
    corner: [f64; 2],
}

fn best_edge(a: Polygon<'_>, b: &[[f64; 2]], enough: f64) -> Looks {
    let n = a.corners.len();
    // The edge that faces the other's first corner most often parts the two at once.
    let toward = sub(b[0], a.corners[0]);
    let mut first = (f64::NEG_INFINITY, 0);
    for (k, m) in a.normals.iter().enumerate() {
        let s = dot(*m, toward);
        if s > first.0 {
            first = (s, k);
        }
    }
    let mut best = Looks {
        gap: f64::NEG_INFINITY,
        edge: 0,
        corner: b[0],
    };
    for step in 0..n {
        let k = (first.1 + step) % n;
        let (m, p) = (a.normals[k], a.corners[k]);
        // The corner that is lowest over the best edge mostly is low over others too.
        if dot(m, sub(best.corner, p)) <= best.gap {
            continue;
        }
        let mut low = (f64::INFINITY, b[0]);
        for &q in b {
            let s = dot(m, sub(q, p));
            if s < low.0 {
                low = (s, q);
                if s <= best.gap {
                    break;
                }
            }
        }
        if low.0 > best.gap {
            best = Looks {
                gap: low.0,
                edge: k,
                corner: low.1,
            };
            if best.gap >= enough {
                break;
            }
        }
    }
    best
}

/// How far apart two convex polygons are. Beyond `enough` only the fact counts, not the figure.
pub fn apart(a: Polygon<'_>, b: Polygon<'_>, enough: f64) -> Apart {
    match (a.corners.len(), b.corners.len()) {
        (1, 1) => return of_points(a.corners[0], b.corners[0]),
        (1, _) => return point_to(a.corners[0], b, enough),
        (_, 1) => return flip(point_to(b.corners[0], a, enough)),
        _ => {}
    }
    let from_a = best_edge(a, b.corners, enough);
    if from_a.gap >= enough {
        return away_from(a, &from_a);
    }
    let from_b = best_edge(b, a.corners, enough);
    if from_b.gap >= enough || from_a.gap.max(from_b.gap) <= 0.0 {
        return if from_a.gap >= from_b.gap {
            away_from(a, &from_a)
        } else {
            flip(away_from(b, &from_b))
        };
    }
    // No two points are nearer than the wider gap: where a corner meets an edge squarely, that is it.
    if from_a.gap >= from_b.gap {
        if a.squarely(from_a.edge, from_a.corner) {
            return away_from(a, &from_a);
        }
    } else if b.squarely(from_b.edge, from_b.corner) {
        return flip(away_from(b, &from_b));
    }
    let mut best = (f64::INFINITY, a.corners[0], b.corners[0]);
    // A corner is no nearer than its height over the edge that looks most away.
    if from_a.gap > 0.0 {
        near_corners(a, &from_a, b.corners, &mut |on_a, v, d| {
            if d < best.0 {
                best = (d, on_a, v);
            }
            best.0
        });
    }
    if from_b.gap > 0.0 {
        near_corners(b, &from_b, a.corners, &mut |on_b, v, d| {
            if d < best.0 {
                best = (d, v, on_b);
            }
            best.0
        });
    }
    of_points(best.1, best.2)
}

/// Tells of each corner that may be nearest to `a`: the point of `a` nearest to it, the corner and the
/// square of their distance. The answer is the least square so far.
fn near_corners(
    a: Polygon<'_>,
    looks: &Looks,
    corners: &[[f64; 2]],
    tell: &mut impl FnMut([f64; 2], [f64; 2], f64) -> f64,
) {
    let (m, p) = (a.normals[looks.edge], a.corners[looks.edge]);
    let mut see = |v: [f64; 2]| {
        let on_a = a.nearest(looks.edge, v);
        let d = sub(on_a, v);
        tell(on_a, v, dot(d, d))
    };
    let mut least = see(looks.corner);
    for &v in corners {
        let high = dot(m, sub(v, p));
        if high * high < least {
            least = see(v);
        }
    }
}

/// The gap of `a` along the normal of its edge, met at a corner of the other.
fn away_from(a: Polygon<'_>, looks: &Looks) -> Apart {
    let m = a.normals[looks.edge];
    let v = looks.corner;
    Apart {
        d_m: looks.gap,
        dir: [-m[0], -m[1]],
        on_a: [v[0] - looks.gap * m[0], v[1] - looks.gap * m[1]],
        on_b: v,
    }
}

fn flip(x: Apart) -> Apart {
    Apart {
        d_m: x.d_m,
        dir: [-x.dir[0], -x.dir[1]],
        on_a: x.on_b,
        on_b: x.on_a,
    }
}

/// A point against a polygon of two corners or more.
fn point_to(v: [f64; 2], b: Polygon<'_>, enough: f64) -> Apart {
    let looks = best_edge(b, &[v], enough);
    if looks.gap <= 0.0 || looks.gap >= enough {
        return flip(away_from(b, &looks));
    }
    of_points(v, b.nearest(looks.edge, v))
}

#[cfg(test)]
mod tests {
    use super::{Polygon, normals};
    use proptest::prelude::*;

    fn apart(a: &[[f64; 2]], b: &[[f64; 2]], enough: f64) -> super::Apart {
        let (m, n) = (normals(a), normals(b));
        let [a, b] = [(a, &m), (b, &n)].map(|(corners, normals)| Polygon { corners, normals });
        super::apart(a, b, enough)
    }

    fn square(at: [f64; 2], turn: f64) -> Vec<[f64; 2]> {
        (0..4)
            .map(|k| {
                let a =
                    turn + std::f64::consts::FRAC_PI_4 + f64::from(k) * std::f64::consts::FRAC_PI_2;
                [at[0] + a.cos(), at[1] + a.sin()]
            })
            .collect()
    }

    #[test]
    fn two_squares_are_as_far_apart_as_one_measures() {
        let side = std::f64::consts::SQRT_2;
        let a = square([0.0, 0.0], 0.0);
        let beside = apart(&a, &square([2.0, 0.0], 0.0), 9.0);
        assert!((beside.d_m - (2.0 - side)).abs() < 1e-12, "{beside:?}");
        let across = apart(&a, &square([3.0, 3.0], 0.0), 9.0);
        assert!(
            (across.d_m - (3.0 - side) * side).abs() < 1e-12,
            "{across:?}"
        );
        let inside = apart(&a, &square([1.0, 0.1], 0.0), 9.0);
        assert!((inside.d_m - (1.0 - side)).abs() < 1e-12, "{inside:?}");
        assert!((inside.dir[0] + 1.0).abs() < 1e-12, "{inside:?}");
    }

    proptest! {
        /// Moving the first by the overlap along the direction parts the two.
        #[test]
        fn a_push_by_the_overlap_parts_them(x in -1.5f64..1.5, y in -1.5f64..1.5, s in 0.0f64..7.0, t in 0.0f64..7.0) {
            let (a, b) = (square([x, y], s), square([0.0, 0.0], t));
            let found = apart(&a, &b, 9.0);
            let far = -found.d_m;
            if far > 0.0 {
                let moved: Vec<[f64; 2]> = a.iter().map(|p| [p[0] + far * found.dir[0], p[1] + far * found.dir[1]]).collect();
                prop_assert!(apart(&moved, &b, 9.0).d_m > -1e-9);
            }
        }

        /// No point of one is nearer to the other than the distance told.
        #[test]
        fn no_corner_is_nearer_than_told(x in 1.0f64..4.0, y in -3.0f64..3.0, s in 0.0f64..7.0, t in 0.0f64..7.0) {
            let (a, b) = (square([x, y], s), square([0.0, 0.0], t));
            let found = apart(&a, &b, 9.0);
            if found.d_m > 0.0 {
                for v in &a { prop_assert!(apart(&[*v], &b, 9.0).d_m >= found.d_m - 1e-12); }
                for v in &b { prop_assert!(apart(&[*v], &a, 9.0).d_m >= found.d_m - 1e-12); }
                prop_assert!(((found.on_a[0] - found.on_b[0]).hypot(found.on_a[1] - found.on_b[1]) - found.d_m).abs() < 1e-12);
            }
        }
    }
}
