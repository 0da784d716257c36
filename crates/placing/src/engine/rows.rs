//! Upright rectangles dropped onto one another: a start for shelves of tiles and slabs, which descent
//! alone seldom lines up. Source: Baker, Coffman, Rivest, Orthogonal packings in two dimensions, SIAM
//! J. Comput. 9 (1980): each goes as low as it falls, then as far left.

use super::{Body, Pose, Room};

/// A box about something that stands, with what it keeps off others, m.
#[derive(Debug, Clone, Copy)]
struct Stood {
    at: [f64; 2],
    half: [f64; 2],
    gap_m: f64,
}

/// The order in which bodies fall and which of them are turned by a quarter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Order {
    /// Numbers of the bodies.
    pub bodies: Vec<usize>,
    /// Of each body in its own numbering.
    pub turned: Vec<bool>,
}

impl Order {
    /// Wide and large ones first, each lying on its long side.
    pub fn by_size(bodies: &[&Body]) -> Self {
        let size = |i: usize| half(bodies[i]);
        let mut all: Vec<usize> = (0..bodies.len()).collect();
        let longer = |i: usize| size(i)[0].max(size(i)[1]);
        all.sort_by(|&a, &b| longer(b).total_cmp(&longer(a)));
        Self {
            bodies: all,
            turned: (0..bodies.len()).map(|i| size(i)[1] > size(i)[0]).collect(),
        }
    }
}

/// Half width and depth of the box about the origin that holds a body, m.
fn half(b: &Body) -> [f64; 2] {
    let mut h = [0.0_f64; 2];
    for p in &b.parts {
        for c in &p.corners {
            for k in 0..2 {
                h[k] = h[k].max(c[k].abs() + p.r_m);
            }
        }
    }
    h
}

/// Where each body falls, or nothing when it finds no room. Only for rooms whose walls are upright
/// rectangles; others get nothing.
pub fn fallen(room: &Room, bodies: &[&Body], order: &Order) -> Vec<Option<Pose>> {
    let mut poses = vec![None; bodies.len()];
    let Some([lo, hi]) = inside(room) else {
        return poses;
    };
    let mut stood: Vec<Stood> = Vec::with_capacity(bodies.len() + room.obstacles.len());
    for &i in &order.bodies {
        let mut h = half(bodies[i]);
        if order.turned[i] {
            h.swap(0, 1);
        }
        let gap_m = bodies[i].gap_m;
        let posts = room
            .obstacles
            .iter()
            .filter(|o| bodies[i].top_m > o.from_m)
            .map(|o| Stood {
                at: [0, 1].map(|k| (o.ends[0][k] + o.ends[1][k]) / 2.0),
                half: [0, 1].map(|k| (o.ends[0][k] - o.ends[1][k]).abs() / 2.0 + o.keep_m - gap_m),
                gap_m,
            });
        let met: Vec<Stood> = stood.iter().copied().chain(posts).collect();
        if let Some(at) = lowest(&met, lo, hi, h, gap_m) {
            stood.push(Stood { at, half: h, gap_m });
            let turn = if order.turned[i] {
                std::f64::consts::FRAC_PI_2
            } else {
                0.0
            };
            poses[i] = Some([at[0], at[1], turn]);
        }
    }
    poses
}

/// The lowest place, and of these the leftmost, beside or between what stands.
fn lowest(met: &[Stood], lo: [f64; 2], hi: [f64; 2], h: [f64; 2], gap_m: f64) -> Option<[f64; 2]> {
    const SLACK: f64 = 1e-9;
    let apart = |s: &Stood, k: usize| s.half[k] + h[k] + s.gap_m.max(gap_m);
    let beside = met.iter().flat_map(|s| {
        let far = apart(s, 0);
        [s.at[0] - far, s.at[0] + far]
    });
    let mut best: Option<[f64; 2]> = None;
    for x in beside.chain([lo[0] + h[0], hi[0] - h[0]]) {
        if x < lo[0] + h[0] - SLACK || x > hi[0] - h[0] + SLACK {
            continue;
        }
        let under = |s: &&Stood| (s.at[0] - x).abs() < apart(s, 0) - SLACK;
        let mut y = lo[1] + h[1];
        // Up past one after the other until nothing is in the way: holes below others are used.
        loop {
            let blocks = |s: &&Stood| (s.at[1] - y).abs() < apart(s, 1) - SLACK;
            let next = met.iter().filter(under).filter(blocks);
            match next.map(|s| s.at[1] + apart(s, 1)).max_by(f64::total_cmp) {
                Some(above) if above > y => y = above,
                _ => break,
            }
        }
        let lower = best.is_none_or(|b| y < b[1] - SLACK || (y < b[1] + SLACK && x < b[0]));
        if y <= hi[1] - h[1] + SLACK && lower {
            best = Some([x, y]);
        }
    }
    best
}

/// The rectangle in which bodies may lie, if all walls are upright rectangles.
fn inside(room: &Room) -> Option<[[f64; 2]; 2]> {
    let mut out = [[f64::NEG_INFINITY; 2], [f64::INFINITY; 2]];
    for w in &room.walls {
        let [lo, hi] = w.region.rectangle()?;
        for k in 0..2 {
            out[0][k] = out[0][k].max(lo[k] + w.keep_m);
            out[1][k] = out[1][k].min(hi[k] - w.keep_m);
        }
    }
    (!room.walls.is_empty()).then_some(out)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::{Obstacle, Part, Wall};
    use crate::region::Region;
    use glost_model::Length;
    use glost_model::shape::Chamber;

    fn tile(w: f64, h: f64) -> Body {
        let corners = [[-w, -h], [w, -h], [w, h], [-w, h]]
            .iter()
            .map(|p| [p[0] / 2.0, p[1] / 2.0])
            .collect();
        Body::new(vec![Part { corners, r_m: 0.0 }], 0.01, 0.1)
    }

    fn room(w: f64, h: f64) -> Room {
        let chamber = Chamber::Rectangle {
            width: Length::m(w),
            depth: Length::m(h),
        };
        Room {
            walls: vec![Wall {
                region: Region::chamber(&chamber),
                keep_m: 0.0,
            }],
            obstacles: Vec::new(),
        }
    }

    #[test]
    fn six_tiles_fill_their_shelf_to_the_gap() {
        let tiles = vec![tile(0.1, 0.1); 6];
        let tiles: Vec<&Body> = tiles.iter().collect();
        let poses = fallen(&room(0.32, 0.21), &tiles, &Order::by_size(&tiles));
        assert!(poses.iter().all(Option::is_some), "{poses:?}");
        let poses = fallen(&room(0.319, 0.21), &tiles, &Order::by_size(&tiles));
        assert_eq!(poses.iter().flatten().count(), 4);
    }

    #[test]
    fn nothing_falls_onto_a_post() {
        let tile = tile(0.1, 0.1);
        let mut room = room(0.25, 0.3);
        room.obstacles
            .push(Obstacle::disc([-0.07, -0.1], 0.02, 0.03));
        let pose = fallen(&room, &[&tile], &Order::by_size(&[&tile]))[0].unwrap();
        assert!(pose[0] > 0.0, "beside the post: {pose:?}");
    }
}
