//! Outlines covered by discs, always outward, so that discs apart means outlines apart.

use glost_model::shape::Outline;

/// A disc of a cover in the outline's own frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disc {
    /// Middle, m.
    pub at: [f64; 2],
    /// Radius, m.
    pub r_m: f64,
}

/// Cells along the shorter side: more is tighter and slower.
const CELLS: f64 = 4.0;
/// No outline is cut into more cells than this along one side.
const MOST: f64 = 16.0;

/// Discs whose union contains the outline.
pub fn cover(outline: &Outline) -> Vec<Disc> {
    if let Outline::Circle { diameter } = outline {
        return vec![Disc {
            at: [0.0, 0.0],
            r_m: diameter.to_m() / 2.0,
        }];
    }
    let (lo, hi) = bounds(outline);
    let (w, h) = (hi[0] - lo[0], hi[1] - lo[1]);
    let cell = (w.min(h) / CELLS).max(w.max(h) / MOST);
    let (nx, ny) = ((w / cell).ceil().max(1.0), (h / cell).ceil().max(1.0));
    let (cx, cy) = (w / nx, h / ny);
    let r_m = cx.hypot(cy) / 2.0;
    let mut discs = Vec::new();
    for i in 0..nx as usize {
        for j in 0..ny as usize {
            let at = [lo[0] + (i as f64 + 0.5) * cx, lo[1] + (j as f64 + 0.5) * cy];
            let edge = i == 0 || j == 0 || i + 1 == nx as usize || j + 1 == ny as usize;
            // Inner cells of a rectangle are walled in by its rim cells.
            let inner = matches!(outline, Outline::Rectangle { .. }) && !edge;
            if !inner && meets(outline, at, r_m) {
                discs.push(Disc { at, r_m });
            }
        }
    }
    discs
}

fn bounds(outline: &Outline) -> ([f64; 2], [f64; 2]) {
    if let Outline::Polygon { points } = outline {
        let fold = |get: fn(&glost_model::shape::Point) -> f64| {
            points
                .iter()
                .map(get)
                .fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(v), b.max(v)))
        };
        let (x, y) = (fold(|p| p.x.to_m()), fold(|p| p.y.to_m()));
        ([x.0, y.0], [x.1, y.1])
    } else {
        let (w, h) = outline.extent();
        let half = [w.to_m() / 2.0, h.to_m() / 2.0];
        ([-half[0], -half[1]], half)
    }
}

/// Whether a cell's circumscribed disc may meet the outline; errs toward yes.
fn meets(outline: &Outline, at: [f64; 2], r_m: f64) -> bool {
    match outline {
        Outline::Ellipse { length, width } => {
            let (a, b) = (length.to_m() / 2.0 + r_m, width.to_m() / 2.0 + r_m);
            (at[0] / a).powi(2) + (at[1] / b).powi(2) <= 1.0
        }
        Outline::Polygon { points } => {
            let pts: Vec<[f64; 2]> = points.iter().map(|p| [p.x.to_m(), p.y.to_m()]).collect();
            let mut inside = false;
            let mut near = f64::INFINITY;
            for (i, &a) in pts.iter().enumerate() {
                let b = pts[(i + 1) % pts.len()];
                if (a[1] > at[1]) != (b[1] > at[1])
                    && at[0] < (b[0] - a[0]) * (at[1] - a[1]) / (b[1] - a[1]) + a[0]
                {
                    inside = !inside;
                }
                let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
                let t = (((at[0] - a[0]) * dx + (at[1] - a[1]) * dy) / (dx * dx + dy * dy))
                    .clamp(0.0, 1.0);
                near = near.min((a[0] + t * dx - at[0]).hypot(a[1] + t * dy - at[1]));
            }
            inside || near <= r_m
        }
        _ => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::Length;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_point_of_an_ellipse_lies_in_its_cover(a in 0.02f64..0.3, b in 0.02f64..0.3, t in 0.0f64..6.3, s in 0.0f64..1.0) {
            let discs = cover(&Outline::Ellipse { length: Length::m(2.0 * a), width: Length::m(2.0 * b) });
            let p = [s * a * t.cos(), s * b * t.sin()];
            prop_assert!(discs.iter().any(|d| (d.at[0] - p[0]).hypot(d.at[1] - p[1]) <= d.r_m + 1e-12));
        }

        #[test]
        fn every_point_of_a_rectangles_rim_lies_in_its_cover(a in 0.02f64..0.3, b in 0.02f64..0.3, s in -1.0f64..1.0) {
            let discs = cover(&Outline::Rectangle { length: Length::m(2.0 * a), width: Length::m(2.0 * b) });
            for p in [[s * a, b], [s * a, -b], [a, s * b], [-a, s * b]] {
                prop_assert!(discs.iter().any(|d| (d.at[0] - p[0]).hypot(d.at[1] - p[1]) <= d.r_m + 1e-12));
            }
        }
    }
}
