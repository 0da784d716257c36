//! The search for a place for every body: descend, throw or swap what is squeezed, descend again.

use rand::RngExt as _;
use rand_chacha::ChaCha8Rng;

use super::{Body, Descent, Pose, Room, Scene, TOLERANCE_M};

/// Steps of one descent.
const STEPS: usize = 150;
/// Places looked at for a body that is thrown.
const PLACES: usize = 30;
/// Tries without gain after which the search starts from somewhere else, for each body.
const PATIENCE: usize = 6;

/// Steps of one look at a body squeezed in, and the root of the energy above which there is no hope, m.
/// Measured on the demo: of what is above after the look, less than one in a hundred fits in the end.
const LOOKS: [(usize, f64); 3] = [(8, 0.06), (25, 0.03), (STEPS, 0.005)];

/// Times that a shelf is stirred where all looks gave hope.
const STIRS: usize = 10;

/// A search under way.
pub struct Search<'a> {
    /// What is searched.
    pub scene: Scene<'a>,
    /// Energy at or below which bodies count as free of one another, m².
    pub low: f64,
    descent: Descent,
    at: Vec<f64>,
    energy: f64,
    trial: Vec<f64>,
    scratch: Vec<f64>,
    by_size: Vec<usize>,
    bounds: [[f64; 2]; 2],
    idle: usize,
}

impl<'a> Search<'a> {
    /// Puts every body where `start` says, or where it is least squeezed.
    pub fn new(
        room: &'a Room,
        bodies: &'a [&'a Body],
        start: &[Option<Pose>],
        rng: &mut ChaCha8Rng,
    ) -> Self {
        let scene = Scene::new(room, bodies);
        let n = scene.unknowns();
        let mut by_size: Vec<usize> = (0..bodies.len()).collect();
        by_size.sort_by(|&a, &b| bodies[a].reach_m.total_cmp(&bodies[b].reach_m));
        let mut s = Self {
            scene,
            low: TOLERANCE_M * TOLERANCE_M,
            descent: Descent::new(n),
            at: vec![0.0; n],
            energy: f64::INFINITY,
            trial: vec![0.0; n],
            scratch: vec![0.0; n],
            by_size,
            bounds: room.bounds(),
            idle: 0,
        };
        s.begin(start, rng);
        s
    }

    /// Starts afresh.
    pub fn begin(&mut self, start: &[Option<Pose>], rng: &mut ChaCha8Rng) {
        let n = self.scene.bodies.len();
        let mut placed: Vec<usize> = Vec::with_capacity(n);
        for i in 0..n {
            if let Some(pose) = start.get(i).copied().flatten() {
                self.scene.put(&mut self.trial, i, &pose);
                self.scene.move_corners(&self.trial, i);
                placed.push(i);
            }
        }
        // Large ones first: small ones find room between them.
        for k in (0..n).rev() {
            let i = self.by_size[k];
            if !placed.contains(&i) {
                self.throw(i, &placed, rng);
                placed.push(i);
            }
        }
        self.energy = f64::INFINITY;
        self.idle = 0;
    }

    /// Holds bodies where they stand from now on.
    pub fn hold(&mut self, still: &[bool]) {
        self.scene.hold(still);
        self.by_size.retain(|i| !still[*i]);
    }

    /// Descends from the trial, keeps it if it is better, and tells whether all are free.
    pub fn settle(&mut self) -> bool {
        self.settle_in(STEPS)
    }

    fn settle_in(&mut self, steps: usize) -> bool {
        let scene = &mut self.scene;
        let e = self
            .descent
            .run(&mut self.trial, steps, self.low, |x, g| scene.energy(x, g));
        if e < self.energy {
            self.energy = e;
            self.at.copy_from_slice(&self.trial);
            self.idle = 0;
        } else {
            self.idle += 1;
        }
        self.energy <= self.low
    }

    /// Whether the search has long found nothing better.
    pub fn stuck(&self) -> bool {
        self.idle > PATIENCE * self.scene.bodies.len() + 20
    }

    /// Makes a new trial out of the best so far.
    pub fn stir(&mut self, rng: &mut ChaCha8Rng) {
        self.trial.copy_from_slice(&self.at);
        let n = self.scene.bodies.len();
        if self.by_size.len() > 1 && rng.random_bool(0.75) && self.swap(rng) {
            return;
        }
        let everyone: Vec<usize> = (0..n).collect();
        for i in 0..n {
            self.scene.move_corners(&self.trial, i);
        }
        let i = if rng.random_bool(0.6) {
            let mut worst = (f64::NEG_INFINITY, 0);
            for i in 0..n {
                if self.scene.holds(i) {
                    continue;
                }
                let e = self.scene.squeeze(&self.trial, i, 0..n, &mut self.scratch)
                    * rng.random_range(0.2..1.0);
                if e > worst.0 {
                    worst = (e, i);
                }
            }
            worst.1
        } else {
            rng.random_range(0..n)
        };
        if self.scene.holds(i) {
            return;
        }
        self.throw(i, &everyone, rng);
    }

    /// Swaps two bodies of unlike size that are not far apart in size.
    fn swap(&mut self, rng: &mut ChaCha8Rng) -> bool {
        let n = self.by_size.len();
        let far = (n * 4).div_ceil(10).max(1);
        let a = rng.random_range(0..n);
        let b = (a + rng.random_range(1..=far)).min(n - 1);
        let (i, j) = (self.by_size[a], self.by_size[b]);
        let (p, q) = (self.scene.bodies[i], self.scene.bodies[j]);
        if a == b || ((p.reach_m - q.reach_m).abs() < 1e-6 && p.round() && q.round()) {
            return false;
        }
        let (a, b) = (
            self.scene.pose(&self.trial, i),
            self.scene.pose(&self.trial, j),
        );
        self.scene.put(&mut self.trial, i, &b);
        self.scene.put(&mut self.trial, j, &a);
        true
    }

    /// Puts body `i` where it is least squeezed among `others`, of some random places.
    fn throw(&mut self, i: usize, others: &[usize], rng: &mut ChaCha8Rng) {
        let [lo, hi] = self.bounds;
        let mut best = (f64::INFINITY, [0.0; 3]);
        for _ in 0..PLACES {
            let turn = if self.scene.turns(i) {
                rng.random_range(0.0..std::f64::consts::TAU)
            } else {
                0.0
            };
            let pose = [
                rng.random_range(lo[0]..hi[0]),
                rng.random_range(lo[1]..hi[1]),
                turn,
            ];
            self.scene.put(&mut self.trial, i, &pose);
            let e = self
                .scene
                .squeeze(&self.trial, i, others.iter().copied(), &mut self.scratch);
            if e < best.0 {
                best = (e, pose);
                if e <= 0.0 {
                    break;
                }
            }
        }
        self.scene.put(&mut self.trial, i, &best.1);
        self.scene.move_corners(&self.trial, i);
    }

    /// Descends from the best so far as far as it goes, whatever [`Self::low`] says.
    pub fn polish(&mut self, steps: usize) -> f64 {
        let (scene, flat) = (&mut self.scene, self.descent.flat);
        self.descent.flat = 1e-12;
        self.energy = self
            .descent
            .run(&mut self.at, steps, 0.0, |x, g| scene.energy(x, g));
        self.descent.flat = flat;
        self.energy
    }

    /// Works the energy of the best so far out again, after the scene has changed.
    pub fn restate(&mut self) {
        self.energy = self.scene.energy(&self.at, &mut self.scratch);
        self.idle = 0;
    }

    /// The best so far, to come back to.
    pub fn kept(&self) -> Vec<f64> {
        self.at.clone()
    }

    /// Goes back to what was kept.
    pub fn keep(&mut self, kept: &[f64]) {
        self.at.copy_from_slice(kept);
        self.restate();
    }

    /// Poses of the best so far.
    pub fn poses(&self) -> Vec<Pose> {
        (0..self.scene.bodies.len())
            .map(|i| self.scene.pose(&self.at, i))
            .collect()
    }
}

/// Finds room for the last body among the others, which stand free of one another and may give way.
/// Looks closer only where a first look gives hope: of a thousand that do not fit, few are descended to the end.
pub fn squeeze_in(
    room: &Room,
    bodies: &[&Body],
    others: &[Pose],
    rng: &mut ChaCha8Rng,
) -> Option<Vec<Pose>> {
    let start: Vec<Option<Pose>> = others.iter().map(|p| Some(*p)).collect();
    squeeze_in_beside(room, bodies, &start, &[], rng)
}

/// The same, starting where `start` says, for the last body too if it has a place there, while those marked
/// `still` keep theirs to the last bit and only the others give way.
pub fn squeeze_in_beside(
    room: &Room,
    bodies: &[&Body],
    start: &[Option<Pose>],
    still: &[bool],
    rng: &mut ChaCha8Rng,
) -> Option<Vec<Pose>> {
    let mut search = Search::new(room, bodies, start, rng);
    if !still.is_empty() {
        search.hold(still);
    }
    for (steps, hope_m) in LOOKS {
        if search.settle_in(steps) {
            return Some(search.poses());
        }
        if search.energy.sqrt() > hope_m {
            return None;
        }
        search.trial.copy_from_slice(&search.at);
    }
    for _ in 0..STIRS {
        search.stir(rng);
        if search.settle() {
            return Some(search.poses());
        }
    }
    None
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
    let mut search = Search::new(room, bodies, start, rng);
    for t in 0..tries {
        if search.settle() {
            return Some(search.poses());
        }
        if t + 1 == tries {
            break;
        }
        if search.stuck() {
            search.begin(&[], rng);
        } else {
            search.stir(rng);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::{Part, Wall};
    use crate::region::Region;
    use rand::SeedableRng as _;

    /// Fekete, Keldenich, Scheffer, arXiv 1903.07908: discs of at most half the container's area always fit.
    #[test]
    fn discs_of_half_the_area_always_fit() {
        let mut rng = ChaCha8Rng::seed_from_u64(2);
        for _ in 0..40 {
            let coins: Vec<Body> = (0..rng.random_range(2..25))
                .map(|_| {
                    let disc = Part::disc([0.0, 0.0], rng.random_range(0.01..0.1));
                    Body::new(vec![disc], 0.0, 0.1)
                })
                .collect();
            let sum: f64 = coins.iter().map(|c| c.reach_m.powi(2)).sum();
            let room = Room {
                walls: vec![Wall {
                    region: Region::disc((2.0 * sum).sqrt()),
                    keep_m: 0.0,
                }],
                obstacles: Vec::new(),
            };
            let bodies: Vec<&Body> = coins.iter().collect();
            assert!(
                place(&room, &bodies, &[], 5_000, &mut rng).is_some(),
                "{} discs",
                coins.len()
            );
        }
    }

    /// Held bodies keep their places to the last bit, and others make room for the one squeezed in.
    #[test]
    fn what_is_held_does_not_move_by_one_bit() {
        let mut rng = ChaCha8Rng::seed_from_u64(5);
        let room = Room {
            walls: vec![Wall {
                region: Region::disc(0.25),
                keep_m: 0.0,
            }],
            obstacles: Vec::new(),
        };
        let bar = Part {
            corners: vec![[-0.07, -0.02], [0.07, -0.02], [0.07, 0.02], [-0.07, 0.02]],
            r_m: 0.0,
        };
        let bar = Body::new(vec![bar], 0.004, 0.1);
        let coin = Body::new(vec![Part::disc([0.0, 0.0], 0.06)], 0.004, 0.1);
        let bodies = [&bar, &coin, &bar, &coin, &coin, &coin];
        let (mut fitted, mut shifted) = (0, 0);
        for _ in 0..40 {
            let Some(others) = place(&room, &bodies[..5], &[], 50, &mut rng) else {
                continue;
            };
            let start: Vec<Option<Pose>> = others.iter().map(|p| Some(*p)).collect();
            let still = [true, true, false, false, false, false];
            let found = squeeze_in_beside(&room, &bodies, &start, &still, &mut rng);
            let Some(poses) = found else { continue };
            fitted += 1;
            let bits = |p: &Pose| p.map(f64::to_bits);
            assert_eq!(bits(&poses[0]), bits(&others[0]));
            assert_eq!(bits(&poses[1])[..2], bits(&others[1])[..2]);
            shifted += (2..5)
                .filter(|&i| bits(&poses[i]) != bits(&others[i]))
                .count();
        }
        assert!(
            fitted > 0 && shifted > 0,
            "{fitted} fitted, {shifted} shifted"
        );
    }
}
