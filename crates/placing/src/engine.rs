//! One shelf: finds places for a set of ware so that nothing overlaps.
//!
//! Squashed discs: overlaps cost the square of their depth; descent moves ware apart, and what
//! stays squeezed is thrown to another place. Sources of the method: He, Ye et al. (quasi-physical
//! packing of equal circles), Ye, Huang, Lu, arXiv 1306.0694 (swap and shift of unequal circles).

use rand::RngExt as _;
use rand_chacha::ChaCha8Rng;

use crate::RESERVE_M;
use crate::cover::Disc;
use crate::region::Region;

/// A thing to place: discs in its own frame and how far it keeps others off.
#[derive(Debug, Clone)]
pub struct Body {
    /// Widest part with any slab.
    pub widest: Vec<Disc>,
    /// What stands on the shelf.
    pub foot: Vec<Disc>,
    /// Gap to other ware; the larger of two counts, m.
    pub gap_m: f64,
    /// Its height above the shelf including supports, m.
    pub top_m: f64,
    /// Round bodies are not turned.
    pub turns: bool,
}

/// A disc that ware keeps off.
#[derive(Debug, Clone, Copy)]
pub struct Obstacle {
    /// Middle, m.
    pub at: [f64; 2],
    /// Its own radius, m.
    pub solid_m: f64,
    /// Radius with its gap, m.
    pub keep_m: f64,
    /// Only ware taller than this above the shelf meets it, m.
    pub from_m: f64,
}

/// The room on one shelf.
#[derive(Debug, Clone)]
pub struct Room {
    /// Feet and widest parts stay in here: nothing hangs over a shelf's edge (maker article).
    pub shelf: Region,
    /// Widest parts stay in here too, grown by `wall_gap_m`.
    pub chamber: Region,
    /// Gap to the wall, m.
    pub wall_gap_m: f64,
    /// Posts, sensor, cone packs.
    pub obstacles: Vec<Obstacle>,
}

/// x, y, turn.
pub type Pose = [f64; 3];

const TOLERANCE_M: f64 = 5e-5;

fn world(d: &Disc, pose: &Pose) -> [f64; 2] {
    let (s, c) = pose[2].sin_cos();
    [
        pose[0] + c * d.at[0] - s * d.at[1],
        pose[1] + s * d.at[0] + c * d.at[1],
    ]
}

/// Adds the push of one overlap of depth `e` along `dir` (away from the obstacle) at `at`.
fn push(force: &mut Pose, pose: &Pose, at: [f64; 2], dir: [f64; 2], e: f64) {
    force[0] += e * dir[0];
    force[1] += e * dir[1];
    force[2] += e * ((at[0] - pose[0]) * dir[1] - (at[1] - pose[1]) * dir[0]);
}

/// Radius about its middle that holds a body, m.
fn reach_m(b: &Body) -> f64 {
    b.widest
        .iter()
        .map(|d| d.at[0].hypot(d.at[1]) + d.r_m)
        .fold(0.01, f64::max)
}

struct Pressed {
    worst: f64,
    energy: f64,
    per_body: Vec<f64>,
    force: Vec<Pose>,
}

fn press(room: &Room, bodies: &[&Body], poses: &[Pose]) -> Pressed {
    let n = bodies.len();
    let mut out = Pressed {
        worst: 0.0,
        energy: 0.0,
        per_body: vec![0.0; n],
        force: vec![[0.0; 3]; n],
    };
    let placed: Vec<Vec<[f64; 2]>> = bodies
        .iter()
        .zip(poses)
        .map(|(b, p)| b.widest.iter().map(|d| world(d, p)).collect())
        .collect();
    let reach: Vec<f64> = bodies.iter().map(|b| reach_m(b)).collect();
    let note = |out: &mut Pressed, i: usize, e: f64, share: f64| {
        out.worst = out.worst.max(e);
        out.energy += share * e * e;
        out.per_body[i] += e * e;
    };
    for i in 0..n {
        let (b, pose) = (bodies[i], &poses[i]);
        for (k, d) in b.widest.iter().enumerate() {
            let at = placed[i][k];
            let (e, dir) = room.chamber.excess(at, d.r_m + room.wall_gap_m);
            if e > 0.0 {
                note(&mut out, i, e, 1.0);
                push(&mut out.force[i], pose, at, [-dir[0], -dir[1]], e);
            }
            for o in room.obstacles.iter().filter(|o| b.top_m > o.from_m) {
                let (dx, dy) = (at[0] - o.at[0], at[1] - o.at[1]);
                let dist = dx.hypot(dy).max(1e-9);
                let e = d.r_m + o.keep_m - dist;
                if e > 0.0 {
                    note(&mut out, i, e, 1.0);
                    push(&mut out.force[i], pose, at, [dx / dist, dy / dist], e);
                }
            }
            for j in i + 1..n {
                let apart = (pose[0] - poses[j][0]).hypot(pose[1] - poses[j][1]);
                if apart >= reach[i] + reach[j] + b.gap_m.max(bodies[j].gap_m) {
                    continue;
                }
                let gap = b.gap_m.max(bodies[j].gap_m);
                for (l, f) in bodies[j].widest.iter().enumerate() {
                    let other = placed[j][l];
                    let (dx, dy) = (at[0] - other[0], at[1] - other[1]);
                    let reach = d.r_m + f.r_m + gap;
                    if dx.abs() >= reach || dy.abs() >= reach {
                        continue;
                    }
                    let dist = dx.hypot(dy).max(1e-9);
                    let e = reach - dist;
                    if e > 0.0 {
                        note(&mut out, i, e, 1.0);
                        note(&mut out, j, e, 0.0);
                        push(&mut out.force[i], pose, at, [dx / dist, dy / dist], e);
                        push(
                            &mut out.force[j],
                            &poses[j],
                            other,
                            [-dx / dist, -dy / dist],
                            e,
                        );
                    }
                }
            }
        }
        for d in b.foot.iter().chain(&b.widest) {
            let at = world(d, pose);
            let (e, dir) = room.shelf.excess(at, d.r_m + RESERVE_M);
            if e > 0.0 {
                note(&mut out, i, e, 1.0);
                push(&mut out.force[i], pose, at, [-dir[0], -dir[1]], e);
            }
        }
    }
    out
}

/// Descent with momentum (heavy ball with restarts); returns the worst overlap left.
fn relax(room: &Room, bodies: &[&Body], poses: &mut [Pose], steps: usize) -> Pressed {
    let size: Vec<f64> = bodies.iter().map(|b| reach_m(b)).collect();
    let mut velocity = vec![[0.0; 3]; poses.len()];
    let mut state = press(room, bodies, poses);
    for _ in 0..steps {
        if state.worst < TOLERANCE_M {
            break;
        }
        let before = state.energy;
        for (i, b) in bodies.iter().enumerate() {
            let many = 1.0 / (b.widest.len() as f64).sqrt();
            for k in 0..2 {
                velocity[i][k] = 0.85 * velocity[i][k] + 0.25 * many * state.force[i][k];
                poses[i][k] += velocity[i][k];
            }
            if b.turns {
                velocity[i][2] =
                    0.85 * velocity[i][2] + 0.25 * many * state.force[i][2] / (size[i] * size[i]);
                poses[i][2] += velocity[i][2];
            }
        }
        state = press(room, bodies, poses);
        if state.energy > before {
            velocity.iter_mut().for_each(|v| *v = [0.0; 3]);
        }
    }
    state
}

/// Places every body or gives up after `tries` descents. `start` warms the search.
pub fn place(
    room: &Room,
    bodies: &[&Body],
    start: &[Option<Pose>],
    tries: usize,
    rng: &mut ChaCha8Rng,
) -> Option<Vec<Pose>> {
    if bodies.is_empty() {
        return Some(Vec::new());
    }
    let mut poses: Vec<Pose> = Vec::with_capacity(bodies.len());
    for i in 0..bodies.len() {
        let pose = start
            .get(i)
            .copied()
            .flatten()
            .unwrap_or_else(|| roomiest(room, bodies, &poses, i, 40, rng));
        poses.push(pose);
    }
    let mut best = (f64::INFINITY, poses.clone());
    for _ in 0..tries {
        let state = relax(room, bodies, &mut poses, 200);
        if state.worst < TOLERANCE_M {
            return Some(poses);
        }
        if state.energy < best.0 {
            best = (state.energy, poses.clone());
        } else {
            poses.clone_from(&best.1);
        }
        if bodies.len() > 1 && rng.random_bool(0.5) {
            let (i, j) = (
                rng.random_range(0..bodies.len()),
                rng.random_range(0..bodies.len()),
            );
            let (a, b) = (poses[i], poses[j]);
            (poses[i][0], poses[i][1]) = (b[0], b[1]);
            (poses[j][0], poses[j][1]) = (a[0], a[1]);
        } else {
            let tightest = (0..bodies.len())
                .max_by(|&a, &b| state.per_body[a].total_cmp(&state.per_body[b]))
                .unwrap_or(0);
            let i = if rng.random_bool(0.7) {
                tightest
            } else {
                rng.random_range(0..bodies.len())
            };
            poses[i] = roomiest(room, bodies, &poses, i, 30, rng);
        }
    }
    None
}

/// The least squeezed of some random places for one body among the others.
fn roomiest(
    room: &Room,
    bodies: &[&Body],
    poses: &[Pose],
    i: usize,
    samples: usize,
    rng: &mut ChaCha8Rng,
) -> Pose {
    let reach = room
        .shelf
        .reach([0.0, 0.0], [1.0, 0.0], -1.0)
        .max(room.shelf.reach([0.0, 0.0], [0.0, 1.0], -1.0))
        .min(2.0)
        - 1.0;
    let reach = reach.abs().max(0.05) + 0.02;
    let mut best = (f64::INFINITY, [0.0; 3]);
    for _ in 0..samples {
        let pose = [
            rng.random_range(-reach..reach) * 1.2,
            rng.random_range(-reach..reach) * 1.2,
            if bodies[i].turns {
                rng.random_range(0.0..std::f64::consts::TAU)
            } else {
                0.0
            },
        ];
        let mut cost = 0.0;
        for d in &bodies[i].widest {
            let at = world(d, &pose);
            cost += room
                .chamber
                .excess(at, d.r_m + room.wall_gap_m)
                .0
                .max(0.0)
                .powi(2);
            for o in room.obstacles.iter().filter(|o| bodies[i].top_m > o.from_m) {
                cost += (d.r_m + o.keep_m - (at[0] - o.at[0]).hypot(at[1] - o.at[1]))
                    .max(0.0)
                    .powi(2);
            }
            for (j, p) in poses.iter().enumerate().filter(|&(j, _)| j != i) {
                let gap = bodies[i].gap_m.max(bodies[j].gap_m);
                for f in &bodies[j].widest {
                    let o = world(f, p);
                    cost += (d.r_m + f.r_m + gap - (at[0] - o[0]).hypot(at[1] - o[1]))
                        .max(0.0)
                        .powi(2);
                }
            }
        }
        for d in bodies[i].foot.iter().chain(&bodies[i].widest) {
            cost += room
                .shelf
                .excess(world(d, &pose), d.r_m + RESERVE_M)
                .0
                .max(0.0)
                .powi(2);
        }
        if cost < best.0 {
            best = (cost, pose);
        }
        if cost <= 0.0 {
            break;
        }
    }
    best.1
}

/// Free distance from a placed body to its nearest neighbour, obstacle or wall, m.
pub fn free_gap(room: &Room, bodies: &[&Body], poses: &[Pose], i: usize) -> f64 {
    let mut gap = f64::INFINITY;
    for d in &bodies[i].widest {
        let at = world(d, &poses[i]);
        gap = gap.min(-room.chamber.excess(at, d.r_m).0);
        for o in room.obstacles.iter().filter(|o| bodies[i].top_m > o.from_m) {
            gap = gap.min((at[0] - o.at[0]).hypot(at[1] - o.at[1]) - d.r_m - o.solid_m);
        }
        for j in (0..bodies.len()).filter(|&j| j != i) {
            for f in &bodies[j].widest {
                let o = world(f, &poses[j]);
                gap = gap.min((at[0] - o[0]).hypot(at[1] - o[1]) - d.r_m - f.r_m);
            }
        }
    }
    gap.max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::Length;
    use glost_model::furniture::ShelfShape;
    use glost_model::load::Side;
    use glost_model::shape::Chamber;
    use rand::SeedableRng as _;

    fn round(diameter_m: f64) -> Room {
        let diameter = Length::m(diameter_m);
        let shelf = Region::shelf(&ShelfShape::Circle { diameter }, Side::Full);
        let chamber = Region::chamber(&Chamber::Circle { diameter });
        Room {
            shelf,
            chamber,
            wall_gap_m: 0.0,
            obstacles: Vec::new(),
        }
    }

    fn coin(r_m: f64) -> Body {
        let disc = vec![Disc {
            at: [0.0, 0.0],
            r_m,
        }];
        Body {
            widest: disc.clone(),
            foot: disc,
            gap_m: 0.0,
            top_m: 0.1,
            turns: false,
        }
    }

    /// Best-known ratios R/r of equal circles in a circle, from the Packomania list "cci".
    #[test]
    fn equal_circles_come_within_half_a_percent_of_the_best_known() {
        for (n, ratio) in [
            (7, 3.0),
            (19, 4.863_703_305_2),
            (30, 6.197_741_076_1),
            (37, 6.758_770_506_5),
        ] {
            let r = 0.05;
            let room = round(2.0 * (r * ratio * 1.005 + RESERVE_M));
            let coins = vec![coin(r); n];
            let bodies: Vec<&Body> = coins.iter().collect();
            let mut rng = ChaCha8Rng::seed_from_u64(1);
            assert!(
                place(&room, &bodies, &[], 20_000, &mut rng).is_some(),
                "{n} circles"
            );
        }
    }

    /// Fekete, Keldenich, Scheffer, arXiv 1903.07908: discs of at most half the container's area always fit.
    #[test]
    fn discs_of_half_the_area_always_fit() {
        let mut rng = ChaCha8Rng::seed_from_u64(2);
        for _ in 0..20 {
            let coins: Vec<Body> = (0..rng.random_range(2..25))
                .map(|_| coin(rng.random_range(0.01..0.1)))
                .collect();
            let sum: f64 = coins.iter().map(|c| c.widest[0].r_m.powi(2)).sum();
            let room = round(2.0 * ((2.0 * sum).sqrt() + RESERVE_M));
            let bodies: Vec<&Body> = coins.iter().collect();
            assert!(
                place(&room, &bodies, &[], 5_000, &mut rng).is_some(),
                "{} discs",
                coins.len()
            );
        }
    }
}
