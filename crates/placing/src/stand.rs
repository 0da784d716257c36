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

/// Finds the places for a full shelf (and its halves, if the studio has them). Of the ways to stand
/// three, that which keeps them most out of the `sights`: bearings of peepholes and of the sensor.
pub fn places(full: &Region, inset_m: f64, sights: &[f64]) -> PostPlaces {
    let mut best: Option<(f64, [[f64; 2]; 3])> = None;
    for three in threes(full, inset_m) {
        let off = sights
            .iter()
            .flat_map(|s| three.iter().map(|p| beside(*p, *s)))
            .fold(CLEAR_OF_SIGHT_M, f64::min);
        if best.is_none_or(|b| off > b.0 + 1e-9) {
            best = Some((off, three));
        }
    }
    let outer = full.reach([0.0, 0.0], [1.0, 0.0], inset_m);
    let joint = (0.22 * outer).max(inset_m + 0.008);
    let deep = full.reach([joint, 0.0], [0.0, 1.0], inset_m);
    let left = [[-joint, deep], [-joint, -deep], [-outer, 0.0]];
    let [a, b, c] = left.map(round);
    let mirror = |p: [f64; 2]| [-p[0], p[1]];
    PostPlaces {
        three: best.map_or([a, b, mirror(c)], |b| b.1),
        pairs: [a, b, c, mirror(a), mirror(b), mirror(c)],
    }
}

/// Ways to stand three: one amid an edge and two in the corners across where the shelf is a
/// rectangle, as ware leaves its corners empty anyway; elsewhere a third of a turn apart.
fn threes(full: &Region, inset_m: f64) -> Vec<[[f64; 2]; 3]> {
    let at = |deg: f64| {
        let (s, c) = deg.to_radians().sin_cos();
        let d = full.reach([0.0, 0.0], [c, s], inset_m);
        round([d * c, d * s])
    };
    let Some([lo, hi]) = full.rectangle() else {
        let first = [90.0, 270.0, 0.0, 180.0, 60.0, 30.0];
        return first.map(|a| [a, a + 120.0, a + 240.0].map(at)).into();
    };
    let [x0, y0] = lo.map(|v| v + inset_m);
    let [x1, y1] = hi.map(|v| v - inset_m);
    let ways = [
        [[0.0, y1], [x0, y0], [x1, y0]],
        [[0.0, y0], [x1, y1], [x0, y1]],
        [[x1, 0.0], [x0, y1], [x0, y0]],
        [[x0, 0.0], [x1, y0], [x1, y1]],
    ];
    ways.map(|w| w.map(round)).into()
}

/// Beyond this a post is in nobody's sight: half a pack of cones and half a post, m.
const CLEAR_OF_SIGHT_M: f64 = 0.07;

/// How far beside the line from the middle outward along a bearing a point lies, m.
fn beside(p: [f64; 2], bearing: f64) -> f64 {
    let (s, c) = bearing.sin_cos();
    if p[0] * c + p[1] * s > 0.0 {
        (p[1] * c - p[0] * s).abs()
    } else {
        p[0].hypot(p[1])
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
    fn no_post_stands_before_a_peephole_where_it_need_not() {
        let disc = ShelfShape::Circle {
            diameter: Length::mm(530.0),
        };
        let full = Region::shelf(&disc, Side::Full);
        for clock in 0..12 {
            let hole = f64::from(clock) * std::f64::consts::FRAC_PI_6;
            let three = places(&full, 0.04, &[hole]).three;
            let off = three.map(|p| beside(p, hole));
            assert!(
                off.iter().all(|d| *d >= CLEAR_OF_SIGHT_M),
                "{clock}: {off:?}"
            );
        }
    }

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
            let full = Region::shelf(&shape, Side::Full);
            let p = places(&full, 0.04, &[]);
            for way in threes(&full, 0.04) {
                assert!(inside(&way, [0.0, 0.0]) > 0.03, "{shape:?}: {way:?}");
                for p in way {
                    assert!(full.holds(p, 0.04 - 1e-9), "{shape:?}: {p:?}");
                }
            }
            let half = Region::shelf(&shape, Side::Left).measure();
            let pick = |ids: [usize; 3]| ids.map(|i| p.pairs[i]);
            assert!(inside(&pick(OVER), [0.0, 0.0]) > 0.03, "{shape:?}");
            assert!(
                inside(&pick(LEFT), [half.centroid_x_m, 0.0]) > 0.03,
                "{shape:?}"
            );
        }
    }
}
