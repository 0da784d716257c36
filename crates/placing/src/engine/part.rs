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

/// Outward unit normal of the edge from `p` to `q` of a counter-clockwise polygon.
fn normal(p: [f64; 2], q: [f64; 2]) -> [f64; 2] {
    let (dx, dy) = (q[0] - p[0], q[1] - p[1]);
    let len = (dx * dx + dy * dy).sqrt().max(1e-12);
    [dy / len, -dx / len]
}

/// Nearest point of the segment from `p` to `q`.
fn nearest(p: [f64; 2], q: [f64; 2], to: [f64; 2]) -> [f64; 2] {
    let d = sub(q, p);
    let t = (dot(sub(to, p), d) / dot(d, d).max(1e-18)).clamp(0.0, 1.0);
    [p[0] + t * d[0], p[1] + t * d[1]]
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

/// The edge of `a` that looks most away from `b`: gap along its normal, normal, and the corner of
/// `b` that comes nearest.
fn best_edge(a: &[[f64; 2]], b: &[[f64; 2]], enough: f64) -> (f64, [f64; 2], [f64; 2]) {
    let mut best = (f64::NEG_INFINITY, [1.0, 0.0], [0.0, 0.0]);
    for (k, &p) in a.iter().enumerate() {
        let n = normal(p, a[(k + 1) % a.len()]);
        let mut low = (f64::INFINITY, b[0]);
        for &q in b {
            let s = dot(n, sub(q, p));
            if s < low.0 {
                low = (s, q);
            }
        }
        if low.0 > best.0 {
            best = (low.0, n, low.1);
            if best.0 >= enough {
                break;
            }
        }
    }
    best
}

/// How far apart two convex polygons are. Beyond `enough` only the fact counts, not the figure.
pub fn apart(a: &[[f64; 2]], b: &[[f64; 2]], enough: f64) -> Apart {
    match (a.len(), b.len()) {
        (1, 1) => return of_points(a[0], b[0]),
        (1, _) => return point_to(a[0], b),
        (_, 1) => return flip(point_to(b[0], a)),
        _ => {}
    }
    let (sa, na, qb) = best_edge(a, b, enough);
    if sa >= enough {
        return along(sa, [-na[0], -na[1]], qb);
    }
    let (sb, nb, qa) = best_edge(b, a, enough);
    if sb >= enough {
        return flip(along(sb, [-nb[0], -nb[1]], qa));
    }
    if sa.max(sb) <= 0.0 {
        return if sa >= sb {
            along(sa, [-na[0], -na[1]], qb)
        } else {
            flip(along(sb, [-nb[0], -nb[1]], qa))
        };
    }
    let mut best = of_points([f64::MAX / 4.0, 0.0], b[0]);
    for (k, &p) in a.iter().enumerate() {
        let q = a[(k + 1) % a.len()];
        for &v in b {
            let found = of_points(nearest(p, q, v), v);
            if found.d_m < best.d_m {
                best = found;
            }
        }
    }
    for (k, &p) in b.iter().enumerate() {
        let q = b[(k + 1) % b.len()];
        for &v in a {
            let found = of_points(v, nearest(p, q, v));
            if found.d_m < best.d_m {
                best = found;
            }
        }
    }
    best
}

/// Gap `d` along `dir`, met at the corner `v` of the second.
fn along(d_m: f64, dir: [f64; 2], v: [f64; 2]) -> Apart {
    Apart {
        d_m,
        dir,
        on_a: [v[0] + d_m * dir[0], v[1] + d_m * dir[1]],
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
fn point_to(v: [f64; 2], b: &[[f64; 2]]) -> Apart {
    let (s, n, _) = best_edge(b, &[v], f64::INFINITY);
    if s <= 0.0 {
        return Apart {
            d_m: s,
            dir: n,
            on_a: v,
            on_b: [v[0] - s * n[0], v[1] - s * n[1]],
        };
    }
    let mut best = of_points(v, b[0]);
    for (k, &p) in b.iter().enumerate() {
        let found = of_points(v, nearest(p, b[(k + 1) % b.len()], v));
        if found.d_m < best.d_m {
            best = found;
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

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
