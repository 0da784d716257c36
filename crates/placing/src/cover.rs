//! Outlines covered by convex parts, always outward, so that parts apart means outlines apart.

use glost_model::shape::{Outline, Point};

use crate::engine::Part;

/// Corners of the polygon drawn about an ellipse: it sticks out by less than 2 %.
const ELLIPSE_CORNERS: u32 = 16;
/// A hull larger than its outline by no more than this stands for it; others are cut up.
const HULL_WASTE: f64 = 1.03;
/// An outline that falls into more convex pieces than this is covered by discs instead.
const PIECES: usize = 12;
/// Discs along the shorter side of an outline that is not convex: more is tighter and slower.
const DISCS: f64 = 6.0;
/// No outline is cut into more cells than this along one side.
const MOST: f64 = 24.0;

/// Parts whose union contains the outline.
pub fn cover(outline: &Outline) -> Vec<Part> {
    match outline {
        Outline::Circle { diameter } => vec![Part::disc([0.0, 0.0], diameter.to_m() / 2.0)],
        Outline::Ellipse { length, width } => {
            let step = std::f64::consts::TAU / f64::from(ELLIPSE_CORNERS);
            let out = 1.0 / (step / 2.0).cos();
            let (a, b) = (out * length.to_m() / 2.0, out * width.to_m() / 2.0);
            let corner = |k| {
                let (sin, cos) = ((f64::from(k) + 0.5) * step).sin_cos();
                [a * cos, b * sin]
            };
            vec![sharp((0..ELLIPSE_CORNERS).map(corner).collect())]
        }
        Outline::Rectangle { length, width } => {
            let (x, y) = (length.to_m() / 2.0, width.to_m() / 2.0);
            vec![sharp(vec![[-x, -y], [x, -y], [x, y], [-x, y]])]
        }
        Outline::Polygon { points } => polygon(outline, points),
    }
}

fn polygon(outline: &Outline, points: &[Point]) -> Vec<Part> {
    let plain: Vec<[f64; 2]> = points.iter().map(|p| [p.x.to_m(), p.y.to_m()]).collect();
    let hull = hull(&plain);
    if hull.len() >= 3 && area(&hull) <= HULL_WASTE * outline.area().to_m2() {
        return vec![sharp(hull)];
    }
    pieces(&plain)
        .filter(|p| p.len() <= PIECES)
        .map_or_else(|| discs(&plain), |p| p.into_iter().map(sharp).collect())
}

fn sharp(corners: Vec<[f64; 2]>) -> Part {
    Part { corners, r_m: 0.0 }
}

/// Convex pieces that make up a polygon: triangles, joined as long as they stay convex (Hertel and
/// Mehlhorn, Fast triangulation of simple polygons, FCT 1983). Nothing when triangles do not fill it.
fn pieces(points: &[[f64; 2]]) -> Option<Vec<Vec<[f64; 2]>>> {
    let mut triangles: Vec<u32> = Vec::new();
    earcut::Earcut::new().earcut(points.iter().copied(), &[] as &[u32], &mut triangles);
    let mut rings: Vec<Vec<usize>> = triangles
        .chunks_exact(3)
        .map(|t| {
            let ring: Vec<usize> = t.iter().map(|i| *i as usize).collect();
            if area(&corners(points, &ring)) < 0.0 {
                ring.into_iter().rev().collect()
            } else {
                ring
            }
        })
        .collect();
    let filled: f64 = rings.iter().map(|r| area(&corners(points, r))).sum();
    let whole = area(points).abs();
    if filled < whole * (1.0 - 1e-9) {
        return None;
    }
    let all = |n: usize| (0..n).flat_map(move |i| (i + 1..n).map(move |j| (i, j)));
    while let Some((i, j, ring)) = all(rings.len()).find_map(|(i, j)| {
        let ring = joined(points, &rings[i], &rings[j])?;
        Some((i, j, ring))
    }) {
        rings.swap_remove(j);
        rings[i] = ring;
    }
    Some(rings.iter().map(|r| corners(points, r)).collect())
}

fn corners(points: &[[f64; 2]], ring: &[usize]) -> Vec<[f64; 2]> {
    ring.iter().map(|i| points[*i]).collect()
}

/// Two rings along the edge that they share, if they are convex together.
fn joined(points: &[[f64; 2]], a: &[usize], b: &[usize]) -> Option<Vec<usize>> {
    let (n, m) = (a.len(), b.len());
    let (i, k) = (0..n)
        .flat_map(|i| (0..m).map(move |k| (i, k)))
        .find(|&(i, k)| a[i] == b[(k + 1) % m] && a[(i + 1) % n] == b[k])?;
    let mut ring: Vec<usize> = (1..=n).map(|s| a[(i + s) % n]).collect();
    ring.extend((2..m).map(|s| b[(k + s) % m]));
    let at = |s: usize| points[ring[s % ring.len()]];
    let convex = (0..ring.len()).all(|s| {
        let [p, q, r] = [at(s), at(s + 1), at(s + 2)];
        (q[0] - p[0]) * (r[1] - q[1]) - (q[1] - p[1]) * (r[0] - q[0]) >= -1e-12
    });
    convex.then_some(ring)
}

fn area(p: &[[f64; 2]]) -> f64 {
    let next = p.iter().cycle().skip(1);
    p.iter()
        .zip(next)
        .map(|(a, b)| a[0] * b[1] - b[0] * a[1])
        .sum::<f64>()
        / 2.0
}

/// Convex hull, counter-clockwise (monotone chain; Andrew 1979).
pub fn hull(points: &[[f64; 2]]) -> Vec<[f64; 2]> {
    let mut p = points.to_vec();
    p.sort_by(|a, b| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    let cross = |o: [f64; 2], a: [f64; 2], b: [f64; 2]| {
        (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0])
    };
    let half = |it: &mut dyn Iterator<Item = [f64; 2]>| {
        let mut h: Vec<[f64; 2]> = Vec::new();
        for q in it {
            while h.len() >= 2 && cross(h[h.len() - 2], h[h.len() - 1], q) <= 0.0 {
                h.pop();
            }
            h.push(q);
        }
        h.pop();
        h
    };
    let mut lower = half(&mut p.iter().copied());
    lower.extend(half(&mut p.iter().rev().copied()));
    lower
}

/// Discs about the cells of a grid that may meet the outline; errs toward yes.
fn discs(points: &[[f64; 2]]) -> Vec<Part> {
    let fold = |k: usize| {
        points
            .iter()
            .map(|p| p[k])
            .fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)))
    };
    let (x, y) = (fold(0), fold(1));
    let (w, h) = (x.1 - x.0, y.1 - y.0);
    let cell = (w.min(h) / DISCS).max(w.max(h) / MOST);
    let (nx, ny) = ((w / cell).ceil().max(1.0), (h / cell).ceil().max(1.0));
    let (cx, cy) = (w / nx, h / ny);
    let r_m = cx.hypot(cy) / 2.0;
    let mut parts = Vec::new();
    for i in 0..nx as usize {
        for j in 0..ny as usize {
            let at = [x.0 + (i as f64 + 0.5) * cx, y.0 + (j as f64 + 0.5) * cy];
            if meets(points, at, r_m) {
                parts.push(Part::disc(at, r_m));
            }
        }
    }
    parts
}

fn meets(points: &[[f64; 2]], at: [f64; 2], r_m: f64) -> bool {
    let mut inside = false;
    let mut near = f64::INFINITY;
    for (i, &a) in points.iter().enumerate() {
        let b = points[(i + 1) % points.len()];
        if (a[1] > at[1]) != (b[1] > at[1])
            && at[0] < (b[0] - a[0]) * (at[1] - a[1]) / (b[1] - a[1]) + a[0]
        {
            inside = !inside;
        }
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let t = (((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / (dx * dx + dy * dy).max(1e-18))
            .clamp(0.0, 1.0);
        near = near.min((a[0] + t * dx - at[0]).hypot(a[1] + t * dy - at[1]));
    }
    inside || near <= r_m
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::Length;
    use proptest::prelude::*;

    fn holds(parts: &[Part], p: [f64; 2]) -> bool {
        parts.iter().any(|part| part.distance_m(p) <= 1e-12)
    }

    /// Two convex pieces that share the cut, and no more room than the outline has.
    #[test]
    fn an_l_falls_into_two() {
        let l = [
            [0.0, 0.0],
            [0.2, 0.0],
            [0.2, 0.1],
            [0.1, 0.1],
            [0.1, 0.2],
            [0.0, 0.2],
        ];
        let parts = pieces(&l).unwrap();
        assert_eq!(parts.len(), 2, "{parts:?}");
        let sum: f64 = parts.iter().map(|p| area(p)).sum();
        assert!((sum - 0.03).abs() < 1e-12, "{parts:?}");
    }

    proptest! {
        #[test]
        fn every_point_of_an_ellipse_lies_in_its_cover(a in 0.02f64..0.3, b in 0.02f64..0.3, t in 0.0f64..6.3, s in 0.0f64..1.0) {
            let parts = cover(&Outline::Ellipse { length: Length::m(2.0 * a), width: Length::m(2.0 * b) });
            prop_assert!(holds(&parts, [s * a * t.cos(), s * b * t.sin()]));
        }

        #[test]
        fn every_point_of_a_rectangle_lies_in_its_cover(a in 0.02f64..0.3, b in 0.02f64..0.3, s in -1.0f64..1.0, t in -1.0f64..1.0) {
            let parts = cover(&Outline::Rectangle { length: Length::m(2.0 * a), width: Length::m(2.0 * b) });
            prop_assert!(holds(&parts, [s * a, t * b]));
        }

        /// A star: its points lie on rays from the middle, so any share of a corner is inside.
        #[test]
        fn every_point_of_a_star_lies_in_its_cover(spikes in proptest::collection::vec(0.03f64..0.2, 5..12), k in 0usize..12, s in 0.0f64..1.0) {
            let n = spikes.len();
            let corner = |k: usize| {
                let (sin, cos) = (std::f64::consts::TAU * k as f64 / n as f64).sin_cos();
                [spikes[k] * cos, spikes[k] * sin]
            };
            let points = (0..n).map(|k| { let [x, y] = corner(k); Point { x: Length::m(x), y: Length::m(y) } }).collect();
            let parts = cover(&Outline::Polygon { points });
            let [x, y] = corner(k % n);
            prop_assert!(holds(&parts, [s * x, s * y]));
        }
    }
}
