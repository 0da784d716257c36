//! Areas and counts of ware on one level: what no arrangement can beat.

use glost_model::furniture::{ShelfShape, ShelfSpan, ShelfStock};
use glost_model::load::Side;
use glost_model::piece::Piece;
use glost_model::shape::Outline;

use crate::region::Region;

/// Halves side by side keep at least the cut between them, m.
const BESIDE_M: f64 = 2.0 * glost_model::furniture::HALF_CUT.to_m();

/// Area, circumference and greatest width of a convex shape.
#[derive(Debug, Clone, Copy)]
struct Flat {
    area_m2: f64,
    round_m: f64,
    across_m: f64,
}

/// A shape drawn in by `by_m` all round; `None` when nothing is left.
fn inner(shape: &ShelfShape, by_m: f64) -> Option<Flat> {
    use std::f64::consts::PI;
    let oval = |length: f64, width: f64| {
        let (r, straight) = (width / 2.0, (length - width).max(0.0));
        Flat {
            area_m2: PI * r * r + straight * width,
            round_m: 2.0 * PI * r + 2.0 * straight,
            across_m: length.max(width),
        }
    };
    let less = |side: glost_model::Length| side.to_m() - 2.0 * by_m;
    let (least, flat) = match shape {
        ShelfShape::Circle { diameter } => {
            let d = less(*diameter);
            (d, oval(d, d))
        }
        ShelfShape::Oval { length, width } => (less(*width), oval(less(*length), less(*width))),
        ShelfShape::Rectangle { width, depth } => {
            let (x, y) = (less(*width), less(*depth));
            let flat = Flat {
                area_m2: x * y,
                round_m: 2.0 * (x + y),
                across_m: x.hypot(y),
            };
            (x.min(y), flat)
        }
        ShelfShape::RegularPolygon {
            sides,
            across_flats,
        } => {
            let n = f64::from((*sides).max(3));
            let apothem = less(*across_flats) / 2.0;
            let side = 2.0 * apothem * (PI / n).tan();
            let flat = Flat {
                area_m2: n * side * apothem / 2.0,
                round_m: n * side,
                across_m: 2.0 * apothem / (PI / n).cos(),
            };
            (apothem, flat)
        }
    };
    // A hair more, so that rounding never makes a piece that just fits into one that does not.
    (least >= -1e-6).then_some(flat)
}

/// Room of one level, m²: what grown ware may cover. A pair of halves counts as one level; ware on
/// it grows over the cut as well.
pub fn room(shelf: &ShelfStock, gap_m: f64) -> f64 {
    let Some(whole) = inner(&shelf.shape, 0.0) else {
        return 0.0;
    };
    let t = gap_m / 2.0;
    let grown = |area: f64, round: f64| area + round * t + std::f64::consts::PI * t * t;
    match shelf.span {
        ShelfSpan::Full => grown(whole.area_m2, whole.round_m),
        ShelfSpan::Half => {
            // Measured by strips, good to 0.01 %.
            let half = Region::shelf(&shelf.shape, Side::Left).measure().area_m2 * 1.000_5;
            2.0 * grown(half, whole.round_m / 2.0 + whole.across_m)
        }
    }
}

/// Most pieces that each hold a disc of radius `r_m` on one level, whatever else they are. Oler's
/// inequality for points at distances of at least d in a convex shape: (2/√3) A/d² + P/(2d) + 1;
/// one when even the farthest two points are too near. From memory; checked in the tests against
/// best-known packings of equal circles.
pub fn count(shelf: &ShelfStock, r_m: f64, gap_m: f64) -> u32 {
    let Some(k) = inner(&shelf.shape, r_m) else {
        return 0;
    };
    let d = 2.0 * r_m + beside(shelf, gap_m) - 1e-6;
    if d <= 0.0 {
        return u32::MAX;
    }
    if k.across_m < d {
        return 1;
    }
    let most = 2.0 / 3f64.sqrt() * k.area_m2.max(0.0) / (d * d) + k.round_m.max(0.0) / (2.0 * d);
    (most + 1.0 + 1e-9).floor().min(1e9) as u32
}

/// Whether two pieces that hold discs of these radii may stand on one level.
pub fn pair(shelf: &ShelfStock, a_m: f64, b_m: f64, gap_m: f64) -> bool {
    let gap = beside(shelf, gap_m);
    // Middles lie within the shelf drawn in by each radius: no farther apart than across the shelf drawn
    // in by their mean.
    let between = inner(&shelf.shape, f64::midpoint(a_m, b_m));
    between.is_some_and(|k| k.across_m + 1e-6 >= a_m + b_m + gap)
}

/// Two halves that hold so much each would hold it as one level, the cut apart.
fn beside(shelf: &ShelfStock, gap_m: f64) -> f64 {
    match shelf.span {
        ShelfSpan::Full => gap_m,
        ShelfSpan::Half => gap_m.min(BESIDE_M),
    }
}

/// Radius of a disc within a piece, m.
pub fn disc_within(piece: &Piece) -> f64 {
    match &piece.widest {
        Outline::Circle { diameter } => diameter.to_m() / 2.0,
        Outline::Ellipse { length, width } | Outline::Rectangle { length, width } => {
            length.min(*width).to_m() / 2.0
        }
        Outline::Polygon { points } => {
            let at: Vec<[f64; 2]> = points.iter().map(|p| [p.x.to_m(), p.y.to_m()]).collect();
            let ends = at.iter().zip(at.iter().cycle().skip(1));
            let mut inside = false;
            let mut near = f64::INFINITY;
            for (a, b) in ends {
                let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
                let along = -(a[0] * dx + a[1] * dy) / (dx * dx + dy * dy).max(1e-18);
                let t = along.clamp(0.0, 1.0);
                near = near.min((a[0] + t * dx).hypot(a[1] + t * dy));
                // A ray along +x from the middle crosses the edge.
                let crosses = (a[1] > 0.0) != (b[1] > 0.0);
                inside ^= crosses && a[0] - a[1] * dx / dy > 0.0;
            }
            if inside { near } else { 0.0 }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::{Length, Mass};

    fn round(diameter_m: f64) -> ShelfStock {
        ShelfStock {
            name: "round".into(),
            shape: ShelfShape::Circle {
                diameter: Length::m(diameter_m),
            },
            span: ShelfSpan::Full,
            thickness: Length::mm(16.0),
            count: 1,
            mass: Mass::kg(7.0),
            load_limit: Mass::kg(20.0),
        }
    }

    #[test]
    fn no_count_is_below_the_best_known_packing() {
        // Ratio of the circle to n equal circles within it (Packomania, "circles in a circle").
        for (n, ratio) in [
            (1_u32, 1.0),
            (2, 2.0),
            (3, 2.154_700_538),
            (4, 2.414_213_562),
            (5, 2.701_301_617),
            (7, 3.0),
            (12, 4.029_601_939),
            (19, 4.863_703_305),
            (37, 6.758_773_543),
            (61, 8.661_297_576),
        ] {
            let most = count(&round(2.0 * ratio), 1.0, 0.0);
            assert!(most >= n, "{n}: {most}");
            assert!(f64::from(most) <= f64::from(n) * 1.35 + 1.0, "{n}: {most}");
        }
        // One that is wider than half the shelf stands alone; none stands where it is wider than it.
        assert_eq!(count(&round(0.53), 0.14, 0.006), 1);
        assert_eq!(count(&round(0.53), 0.27, 0.006), 0);
        // 530 mm across: 200 and 324 mm with a gap of 6 mm fill it exactly.
        assert!(pair(&round(0.53), 0.1, 0.162, 0.006));
        assert!(!pair(&round(0.53), 0.1, 0.163, 0.006));
    }

    #[test]
    fn an_outline_holds_its_disc() {
        let corner = |x: f64, y: f64| glost_model::shape::Point {
            x: Length::m(x),
            y: Length::m(y),
        };
        let square = vec![
            corner(-0.1, -0.1),
            corner(0.1, -0.1),
            corner(0.1, 0.1),
            corner(-0.1, 0.1),
        ];
        let shapes = [
            (Outline::Polygon { points: square }, 0.1),
            (
                Outline::Polygon {
                    points: vec![corner(0.1, 0.1), corner(0.2, 0.1), corner(0.2, 0.2)],
                },
                0.0,
            ),
        ];
        for (widest, r) in shapes {
            let piece = Piece {
                widest,
                ..super::super::tests::piece("P")
            };
            assert!((disc_within(&piece) - r).abs() < 1e-12);
        }
    }
}
