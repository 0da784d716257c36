//! The judge of a bare layout: outlines on one shelf with posts, no studio and no rules.

use glost_model::Length;
use glost_model::shape::{Chamber, Outline};

use crate::geometry::{Body, Place};

/// An outline in its place: x and y of its origin, and its turn counter-clockwise, m and rad.
#[derive(Debug, Clone, Copy)]
pub struct Laid<'a> {
    /// Its outline.
    pub outline: &'a Outline,
    /// x, y, turn.
    pub at: [f64; 3],
}

/// What is wrong with a layout, or nothing. `posts` are x, y, radius in m. Round outlines are drawn as
/// polygons on the outside, so a gap that is short by less than 0.02 mm may be refused and none that is short
/// is accepted.
pub fn layout_fault(
    shelf: &Chamber,
    posts: &[[f64; 3]],
    gap: Length,
    edge_gap: Length,
    laid: &[Laid<'_>],
) -> Option<String> {
    let place = Place::chamber(shelf);
    let mut bodies: Vec<Body> = Vec::with_capacity(laid.len());
    for (i, l) in laid.iter().enumerate() {
        let [x, y, turn] = l.at;
        if !(x.is_finite() && y.is_finite() && turn.is_finite()) {
            return Some(format!("outline {i} is nowhere"));
        }
        let body = Body::outline(l.outline, x, y, turn);
        let margin = place.margin(&body);
        if short(margin, edge_gap) {
            return Some(format!(
                "outline {i} is {:.3} mm from the edge",
                margin * 1e3
            ));
        }
        for [px, py, r] in posts {
            let free = body.distance(&Body::disc(*px, *py, *r), gap.to_m());
            if short(free, gap) {
                return Some(format!("outline {i} is {:.3} mm from a post", free * 1e3));
            }
        }
        for (j, other) in bodies.iter().enumerate() {
            let free = body.distance(other, gap.to_m());
            if short(free, gap) {
                return Some(format!(
                    "outlines {j} and {i} are {:.3} mm apart",
                    free * 1e3
                ));
            }
        }
        bodies.push(body);
    }
    None
}

/// True for what cannot be compared, too.
fn short(free_m: f64, least: Length) -> bool {
    free_m.is_nan() || !least.is_finite() || free_m < least.to_m()
}

/// How far circles in a circle overlap or stick out at worst, over the container's radius; at most 0 when all
/// is well. Middles are measured from the container's.
pub fn worst_overlap(container_r: f64, radii: &[f64], middles: &[[f64; 2]]) -> f64 {
    if radii.len() != middles.len() {
        return f64::INFINITY;
    }
    let mut worst = f64::NEG_INFINITY;
    for (i, (r, p)) in radii.iter().zip(middles).enumerate() {
        worst = worst.max(p[0].hypot(p[1]) + r - container_r);
        for (s, q) in radii.iter().zip(middles).skip(i + 1) {
            worst = worst.max(r + s - (p[0] - q[0]).hypot(p[1] - q[1]));
        }
    }
    if worst.is_nan() {
        f64::INFINITY
    } else {
        worst / container_r
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn two(apart_mm: f64) -> Option<String> {
        let plate = Outline::Rectangle {
            length: Length::mm(100.0),
            width: Length::mm(50.0),
        };
        let shelf = Chamber::Circle {
            diameter: Length::mm(400.0),
        };
        let x = (50.0 + apart_mm / 2.0) / 1e3;
        let laid = [-x, x].map(|x| Laid {
            outline: &plate,
            at: [x, 0.0, 0.0],
        });
        let posts = [[0.0, 0.1, 0.02]];
        layout_fault(&shelf, &posts, Length::mm(6.0), Length::mm(6.0), &laid)
    }

    #[test]
    fn gaps_are_measured() {
        assert_eq!(two(6.1), None);
        assert!(two(5.9).is_some_and(|f| f.contains("5.900 mm apart")));
        assert!(two(190.0).is_some_and(|f| f.contains("edge")));
    }

    #[test]
    fn circles_that_touch_do_not_overlap() {
        let at = [[-1.0, 0.0], [1.0, 0.0]];
        assert!(worst_overlap(2.0, &[1.0, 1.0], &at).abs() < 1e-15);
        assert!(worst_overlap(2.0, &[1.0, 1.1], &at) > 0.04);
        assert!(worst_overlap(2.0, &[1.0], &at).is_infinite());
    }
}
