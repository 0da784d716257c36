//! What the bound knows of a piece: errs toward small.

use std::f64::consts::PI;

use glost_model::furniture::SupportKind;
use glost_model::load::FiringKind;
use glost_model::shape::Outline;
use glost_rules::value::{gap_bisque, gap_ware};

use super::cells::Grown;
use crate::plan::PlanAsk;
use crate::ware::Ware;

/// The judge lets a shape reach this much over; every piece is drawn in by it, m.
pub const SLACK_M: f64 = 1e-4;

/// One piece.
#[derive(Debug, Clone)]
pub struct Thing {
    /// What it is worth.
    pub value: f64,
    /// Its height with supports, mm.
    pub top_mm: f64,
    /// Its mass, kg.
    pub kg: f64,
    /// Radius of a disc in it, m.
    pub in_m: f64,
    /// Grown by half of the least gap; more than one shape when each says something of it.
    pub grown: Vec<Grown>,
    /// Its area grown so, m².
    pub area_m2: f64,
    /// Share of its room that it surely takes: less than all when it may go into a pile.
    pub share: f64,
}

/// Least gap between any two pieces, m.
pub fn least_gap_m(ware: &[Ware<'_>]) -> f64 {
    let gaps = ware.iter().map(|w| w.body.gap_m - crate::RESERVE_M);
    gaps.min_by(f64::total_cmp).unwrap_or(0.0).max(0.0)
}

/// One piece of ware.
pub fn thing(ask: &PlanAsk<'_>, w: &Ware<'_>, gap_m: f64) -> Thing {
    let mut grown = outline(&w.piece.widest, gap_m / 2.0);
    let stock = &ask.studio.furniture.supports;
    let slabs = stock
        .iter()
        .filter(|s| s.kind == SupportKind::WasterSlab && w.supports.contains(&s.name));
    grown.extend(
        slabs.map(|s| Grown::disc((s.diameter.to_m() / 2.0 - SLACK_M).max(0.0) + gap_m / 2.0)),
    );
    let most = |get: fn(&Grown) -> f64| grown.iter().map(get).fold(0.0, f64::max);
    // Ware that may be piled comes with a share of the area that its outline has by itself.
    let least = match ask.kind {
        FiringKind::Bisque => ask.book.length(&gap_bisque::RULE),
        FiringKind::Glaze => ask.book.length(&gap_ware::RULE),
    };
    let whole = w.piece.widest.area().to_m2().sqrt() + PI.sqrt() * least.to_m() / 2.0;
    let share = (w.area_m2 / (whole * whole) + 1e-6).min(1.0);
    Thing {
        value: w.value,
        top_mm: w.body.top_m * 1000.0,
        kg: w.mass_kg,
        in_m: (most(|g| g.in_m) - gap_m / 2.0).max(0.0),
        area_m2: most(|g| g.area_m2),
        grown,
        share: if share > 0.99 { 1.0 } else { share },
    }
}

/// An outline drawn in by the slack and grown by `by_m`.
fn outline(o: &Outline, by_m: f64) -> Vec<Grown> {
    let rounded = |area_m2: f64, edge_m: f64| area_m2 + edge_m * by_m + PI * by_m * by_m;
    match o {
        Outline::Circle { diameter } => {
            vec![Grown::disc(
                (diameter.to_m() / 2.0 - SLACK_M).max(0.0) + by_m,
            )]
        }
        Outline::Ellipse { length, width } => {
            let half = |l: glost_model::Length| (l.to_m() / 2.0 - SLACK_M).max(0.0);
            let (a, b) = (half((*length).max(*width)), half((*length).min(*width)));
            // Half the least perimeter that the area allows, so never too large.
            let edge_m = 2.0 * PI * (a * b).sqrt();
            vec![Grown {
                area_m2: rounded(PI * a * b, edge_m),
                // The sharpest end of an ellipse bends with radius b²/a.
                roll_m: if a > 0.0 { b * b / a } else { 0.0 } + by_m,
                in_m: b + by_m,
            }]
        }
        Outline::Rectangle { length, width } => {
            let side = |l: glost_model::Length| (l.to_m() - 2.0 * SLACK_M).max(0.0);
            let (a, b) = (side(*length), side(*width));
            vec![Grown {
                area_m2: rounded(a * b, 2.0 * (a + b)),
                roll_m: by_m,
                in_m: a.min(b) / 2.0 + by_m,
            }]
        }
        Outline::Polygon { points } => {
            let at: Vec<[f64; 2]> = points.iter().map(|p| [p.x.to_m(), p.y.to_m()]).collect();
            polygon(&at, o.area().to_m2(), by_m)
        }
    }
}

/// Of a polygon that is not convex, its area counts by itself, and a disc in it as a body.
fn polygon(at: &[[f64; 2]], area_m2: f64, by_m: f64) -> Vec<Grown> {
    let in_m = inscribed_m(at);
    let keep = (1.0 - SLACK_M / in_m.max(SLACK_M)).powi(2);
    let turn = |i: usize| {
        let [a, b, c] = [0, 1, 2].map(|k| at[(i + k) % at.len()]);
        (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    };
    let convex = (0..at.len()).all(|i| turn(i) >= 0.0);
    let disc = Grown::disc((in_m - SLACK_M).max(0.0) + by_m);
    let whole = (area_m2 * keep).sqrt() + PI.sqrt() * by_m;
    let own = Grown {
        area_m2: whole * whole,
        roll_m: by_m,
        in_m: disc.in_m,
    };
    if convex {
        vec![own]
    } else {
        // Its rolling disc is nothing and its cell no cell: only the plain area may be used.
        vec![Grown { roll_m: 0.0, ..own }, disc]
    }
}

/// Radius of a disc in a polygon, near the largest, m.
fn inscribed_m(at: &[[f64; 2]]) -> f64 {
    let bound = |k: usize| {
        at.iter()
            .map(|p| p[k])
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| {
                (lo.min(v), hi.max(v))
            })
    };
    let ((x0, x1), (y0, y1)) = (bound(0), bound(1));
    let mut best = ([(x0 + x1) / 2.0, (y0 + y1) / 2.0], 0.0);
    let mut step = (x1 - x0).max(y1 - y0) / 2.0;
    for _ in 0..12 {
        let from: [f64; 2] = best.0;
        for i in -8..=8 {
            for k in -8..=8 {
                let p = [
                    from[0] + step * f64::from(i) / 8.0,
                    from[1] + step * f64::from(k) / 8.0,
                ];
                let d = depth_m(at, p);
                if d > best.1 {
                    best = (p, d);
                }
            }
        }
        step *= 0.4;
    }
    best.1
}

/// Distance from a point in a polygon to its edge, 0 outside, m.
fn depth_m(at: &[[f64; 2]], p: [f64; 2]) -> f64 {
    let (mut inside, mut near) = (false, f64::INFINITY);
    for (i, a) in at.iter().enumerate() {
        let b = at[(i + 1) % at.len()];
        if (a[1] > p[1]) != (b[1] > p[1])
            && p[0] < (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]) + a[0]
        {
            inside = !inside;
        }
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / (dx * dx + dy * dy).max(1e-30);
        let t = t.clamp(0.0, 1.0);
        near = near.min((a[0] + t * dx - p[0]).hypot(a[1] + t * dy - p[1]));
    }
    if inside { near } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::Length;
    use glost_model::shape::Point;

    #[test]
    fn discs_are_found_in_an_l_and_a_square() {
        let square = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]];
        assert!((inscribed_m(&square) - 0.5).abs() < 1e-3);
        let l = [
            [0.0, 0.0],
            [1.0, 0.0],
            [1.0, 0.4],
            [0.4, 0.4],
            [0.4, 1.0],
            [0.0, 1.0],
        ];
        // The disc in the corner of the L touches both outer sides and the inner corner:
        // r = 0.4 √2/(1 + √2).
        let r = 0.4 * 2f64.sqrt() / (1.0 + 2f64.sqrt());
        let got = inscribed_m(&l);
        assert!(got <= r + 1e-9 && got > r - 2e-3, "{got} of {r}");
    }

    #[test]
    fn a_convex_polygon_counts_like_the_rectangle_that_it_is() {
        let mm = Length::mm;
        let corner = |x: f64, y: f64| Point { x: mm(x), y: mm(y) };
        let points = vec![
            corner(-60.0, -40.0),
            corner(60.0, -40.0),
            corner(60.0, 40.0),
            corner(-60.0, 40.0),
        ];
        let [p] = outline(&Outline::Polygon { points }, 0.004)[..] else {
            panic!("one body")
        };
        let rect = Outline::Rectangle {
            length: mm(120.0),
            width: mm(80.0),
        };
        let [r] = outline(&rect, 0.004)[..] else {
            panic!("one body")
        };
        assert!(
            p.area_m2 <= r.area_m2 + 1e-9 && p.area_m2 > 0.98 * r.area_m2,
            "{p:?} {r:?}"
        );
        assert!((p.in_m - r.in_m).abs() < 1e-3 && (p.roll_m - r.roll_m).abs() < 1e-9);
    }
}
