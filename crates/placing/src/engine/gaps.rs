//! What is free about a placed body.

use super::part::{Polygon, apart, normals};
use super::{Body, Part, Pose, Room};

struct Standing {
    corners: Vec<[f64; 2]>,
    normals: Vec<[f64; 2]>,
    r_m: f64,
}

impl Standing {
    fn new(p: &Part, pose: &Pose) -> Self {
        let (s, c) = pose[2].sin_cos();
        let place = |q: &[f64; 2]| [pose[0] + c * q[0] - s * q[1], pose[1] + s * q[0] + c * q[1]];
        let corners: Vec<[f64; 2]> = p.corners.iter().map(place).collect();
        Self {
            normals: normals(&corners),
            corners,
            r_m: p.r_m,
        }
    }

    fn polygon(&self) -> Polygon<'_> {
        Polygon {
            corners: &self.corners,
            normals: &self.normals,
        }
    }
}

/// Free distance from a placed body to its nearest neighbour, obstacle or wall, m.
pub fn free_gap(room: &Room, bodies: &[&Body], poses: &[Pose], i: usize) -> f64 {
    let mut gap = f64::INFINITY;
    for p in &bodies[i].parts {
        let mine = Standing::new(p, &poses[i]);
        for wall in &room.walls {
            // A shelf's edge is no wall: what stands at it is still free of everything.
            if wall.keep_m > 2.0 * crate::RESERVE_M {
                for &at in &mine.corners {
                    gap = gap.min(-wall.region.excess(at, p.r_m).0);
                }
            }
        }
        for o in room.obstacles.iter().filter(|o| bodies[i].top_m > o.from_m) {
            gap =
                gap.min(apart(mine.polygon(), o.polygon(), f64::INFINITY).d_m - p.r_m - o.solid_m);
        }
        for j in (0..bodies.len()).filter(|&j| j != i) {
            for q in &bodies[j].parts {
                let other = Standing::new(q, &poses[j]);
                gap = gap.min(
                    apart(mine.polygon(), other.polygon(), f64::INFINITY).d_m - p.r_m - other.r_m,
                );
            }
        }
    }
    gap.max(0.0)
}
