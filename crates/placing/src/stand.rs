//! Where posts stand: one set of places for the whole stack, so that posts meet posts.

use crate::cover::hull;
use crate::region::Region;

/// Places of posts in plan, m. `pairs` serve half shelves, `three` a stack of full shelves only.
#[derive(Debug, Clone)]
pub struct PostPlaces {
    /// Three under a full shelf in a stack without halves.
    pub three: [[f64; 2]; 3],
    /// Left back, left front, left outer, then the right's mirror image.
    pub pairs: [[f64; 2]; 6],
}

/// Places under a left half.
pub const LEFT: [usize; 3] = [0, 1, 2];
/// Places under a right half.
pub const RIGHT: [usize; 3] = [3, 4, 5];
/// Places under a full shelf that levels out two columns.
pub const OVER: [usize; 3] = [0, 1, 5];

/// Finds the places for a full shelf (and its halves, if the studio has them).
pub fn places(full: &Region, inset_m: f64) -> PostPlaces {
    let at = |deg: f64| {
        let (s, c) = deg.to_radians().sin_cos();
        let d = full.reach([0.0, 0.0], [c, s], inset_m);
        round([d * c, d * s])
    };
    let outer = full.reach([0.0, 0.0], [1.0, 0.0], inset_m);
    let joint = (0.22 * outer).max(inset_m + 0.008);
    let deep = full.reach([joint, 0.0], [0.0, 1.0], inset_m);
    let left = [[-joint, deep], [-joint, -deep], [-outer, 0.0]];
    let [a, b, c] = left.map(round);
    let mirror = |p: [f64; 2]| [-p[0], p[1]];
    PostPlaces {
        three: [at(90.0), at(210.0), at(330.0)],
        pairs: [a, b, c, mirror(a), mirror(b), mirror(c)],
    }
}

fn round(p: [f64; 2]) -> [f64; 2] {
    p.map(|v| (v * 1000.0).trunc() / 1000.0)
}

/// How far inside the triangle of three posts a point lies, m; negative outside.
pub fn inside(posts: &[[f64; 2]], p: [f64; 2]) -> f64 {
    let hull = hull(posts);
    (0..hull.len())
        .map(|i| {
            let (a, b) = (hull[i], hull[(i + 1) % hull.len()]);
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            (dx * (p[1] - a[1]) - dy * (p[0] - a[0])) / dx.hypot(dy).max(1e-12)
        })
        .fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::Length;
    use glost_model::furniture::ShelfShape;
    use glost_model::load::Side;

    #[test]
    fn centres_of_full_and_half_shelves_lie_well_inside_their_posts() {
        for shape in [
            ShelfShape::Circle {
                diameter: Length::mm(530.0),
            },
            ShelfShape::RegularPolygon {
                sides: 8,
                across_flats: Length::mm(600.0),
            },
            ShelfShape::Rectangle {
                width: Length::mm(440.0),
                depth: Length::mm(410.0),
            },
            ShelfShape::Oval {
                length: Length::mm(900.0),
                width: Length::mm(500.0),
            },
        ] {
            let p = places(&Region::shelf(&shape, Side::Full), 0.04);
            let half = Region::shelf(&shape, Side::Left).measure();
            let pick = |ids: [usize; 3]| ids.map(|i| p.pairs[i]);
            assert!(inside(&p.three, [0.0, 0.0]) > 0.03, "{shape:?}");
            assert!(inside(&pick(OVER), [0.0, 0.0]) > 0.03, "{shape:?}");
            assert!(
                inside(&pick(LEFT), [half.centroid_x_m, 0.0]) > 0.03,
                "{shape:?}"
            );
        }
    }
}
