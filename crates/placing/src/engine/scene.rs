//! The energy of overlaps of ware on one shelf, and its slope.

use super::part::{Polygon, apart, normals};
use super::{Body, Pose, Room};

/// One part of a body, laid out flat for speed.
#[derive(Debug, Clone, Copy)]
struct Flat {
    first: usize,
    len: usize,
    r_m: f64,
}

/// Share of a body's size that pairs may be too far apart and still be listed as near.
const SKIN: f64 = 0.4;

/// Bodies in a room. Unknowns are x and y of each, and for bodies that can be turned the angle
/// times [`Body::reach_m`], so that all have the size of lengths.
pub struct Scene<'a> {
    /// Where they stand.
    pub room: &'a Room,
    /// What stands there.
    pub bodies: &'a [&'a Body],
    /// Every wall moves inward by this, m.
    pub inset_m: f64,
    /// Depth of the worst overlap at the last look, m.
    pub worst_m: f64,
    unknown: Vec<usize>,
    turns: Vec<bool>,
    /// Bodies that stay where they are put: others give way to them.
    still: Vec<bool>,
    unknowns: usize,
    local: Vec<[f64; 2]>,
    world: Vec<[f64; 2]>,
    local_normals: Vec<[f64; 2]>,
    world_normals: Vec<[f64; 2]>,
    flat: Vec<Flat>,
    parts_of: Vec<(usize, usize)>,
    met: Vec<Vec<usize>>,
    near: Vec<(usize, usize)>,
    /// Where the middles were when `near` was listed.
    anchor: Vec<[f64; 2]>,
    /// Pairs this much too far apart to touch are listed too, m.
    skin_m: f64,
}

/// Whether two points are at least so far apart.
fn apart_by(p: [f64; 2], q: [f64; 2], m: f64) -> bool {
    let (dx, dy) = (p[0] - q[0], p[1] - q[1]);
    dx * dx + dy * dy >= m * m
}

impl<'a> Scene<'a> {
    /// Sets the scene.
    pub fn new(room: &'a Room, bodies: &'a [&'a Body]) -> Self {
        let (mut local, mut flat, mut parts_of) = (Vec::new(), Vec::new(), Vec::new());
        let mut local_normals = Vec::new();
        let (mut unknown, mut turns, mut unknowns) = (Vec::new(), Vec::new(), 0);
        for b in bodies {
            parts_of.push((flat.len(), flat.len() + b.parts.len()));
            for p in &b.parts {
                flat.push(Flat {
                    first: local.len(),
                    len: p.corners.len(),
                    r_m: p.r_m,
                });
                local.extend_from_slice(&p.corners);
                local_normals.extend(normals(&p.corners));
            }
            unknown.push(unknowns);
            turns.push(!b.round());
            unknowns += if b.round() { 2 } else { 3 };
        }
        let met = bodies
            .iter()
            .map(|b| {
                let all = room.obstacles.iter().enumerate();
                all.filter(|(_, o)| b.top_m > o.from_m)
                    .map(|(k, _)| k)
                    .collect()
            })
            .collect();
        Self {
            room,
            bodies,
            inset_m: 0.0,
            worst_m: 0.0,
            unknown,
            turns,
            still: vec![false; bodies.len()],
            unknowns,
            world: local.clone(),
            local,
            world_normals: local_normals.clone(),
            local_normals,
            flat,
            parts_of,
            met,
            near: Vec::new(),
            anchor: vec![[f64::MAX; 2]; bodies.len()],
            skin_m: SKIN * bodies.iter().map(|b| b.reach_m).sum::<f64>()
                / bodies.len().max(1) as f64,
        }
    }

    /// Lists the pairs that may touch, unless none has moved far since they were listed (Verlet 1967).
    fn list_near(&mut self, x: &[f64]) {
        let may = self.skin_m * self.skin_m / 4.0;
        let at = |i: usize| [x[self.unknown[i]], x[self.unknown[i] + 1]];
        let still = self.anchor.iter().enumerate().all(|(i, a)| {
            let p = at(i);
            (p[0] - a[0]).powi(2) + (p[1] - a[1]).powi(2) < may
        });
        if still {
            return;
        }
        for i in 0..self.bodies.len() {
            self.anchor[i] = at(i);
        }
        self.near.clear();
        for (i, a) in self.bodies.iter().enumerate() {
            for (j, b) in self.bodies.iter().enumerate().skip(i + 1) {
                let far = a.reach_m + b.reach_m + a.gap_m.max(b.gap_m) + self.skin_m;
                let (p, q) = (self.anchor[i], self.anchor[j]);
                let near = (p[0] - q[0]).powi(2) + (p[1] - q[1]).powi(2) < far * far;
                if near && !(self.still[i] && self.still[j]) {
                    self.near.push((i, j));
                }
            }
        }
    }

    /// How many unknowns there are.
    pub fn unknowns(&self) -> usize {
        self.unknowns
    }

    /// Writes a body's pose into the unknowns.
    pub fn put(&self, x: &mut [f64], i: usize, pose: &Pose) {
        let k = self.unknown[i];
        x[k] = pose[0];
        x[k + 1] = pose[1];
        if self.turns[i] {
            x[k + 2] = pose[2] * self.bodies[i].reach_m;
        }
    }

    /// Reads a body's pose from the unknowns.
    pub fn pose(&self, x: &[f64], i: usize) -> Pose {
        let k = self.unknown[i];
        let turn = if self.turns[i] {
            x[k + 2] / self.bodies[i].reach_m
        } else {
            0.0
        };
        [x[k], x[k + 1], turn]
    }

    /// Holds bodies where they are put.
    pub fn hold(&mut self, still: &[bool]) {
        self.still.copy_from_slice(still);
        self.anchor.fill([f64::MAX; 2]);
    }

    /// Whether a body is held.
    pub fn holds(&self, i: usize) -> bool {
        self.still[i]
    }

    /// Whether a body can be turned.
    pub fn turns(&self, i: usize) -> bool {
        self.turns[i]
    }

    /// Moves the corners of a body to where `x` says; [`Self::energy`] does it for all.
    pub fn move_corners(&mut self, x: &[f64], i: usize) {
        let k = self.unknown[i];
        let (px, py) = (x[k], x[k + 1]);
        let (from, to) = self.parts_of[i];
        if !self.turns[i] {
            for f in &self.flat[from..to] {
                self.world[f.first] = [px, py];
            }
            return;
        }
        let (s, c) = (x[k + 2] / self.bodies[i].reach_m).sin_cos();
        for f in &self.flat[from..to] {
            for v in f.first..f.first + f.len {
                let [lx, ly] = self.local[v];
                self.world[v] = [px + c * lx - s * ly, py + s * lx + c * ly];
                let [nx, ny] = self.local_normals[v];
                self.world_normals[v] = [c * nx - s * ny, s * nx + c * ny];
            }
        }
    }

    /// Energy of all overlaps at `x`; fills in the slope.
    pub fn energy(&mut self, x: &[f64], slope: &mut [f64]) -> f64 {
        slope.fill(0.0);
        self.worst_m = 0.0;
        let mut sum = 0.0;
        let n = self.bodies.len();
        for i in 0..n {
            self.move_corners(x, i);
        }
        for i in 0..n {
            if !self.still[i] {
                sum += self.walls(x, i, slope);
            }
        }
        self.list_near(x);
        for p in 0..self.near.len() {
            let (i, j) = self.near[p];
            let (k, l) = (self.unknown[i], self.unknown[j]);
            let (dx, dy) = (x[k] - x[l], x[k + 1] - x[l + 1]);
            let (a, b) = (self.bodies[i], self.bodies[j]);
            let gap = a.gap_m.max(b.gap_m);
            let far = a.reach_m + b.reach_m + gap;
            let square = dx * dx + dy * dy;
            if square >= far * far {
                continue;
            }
            if !self.turns[i] && !self.turns[j] {
                let d = square.sqrt().max(1e-12);
                let e = far - d;
                self.worst_m = self.worst_m.max(e);
                sum += e * e;
                let f = 2.0 * e / d;
                slope[k] -= f * dx;
                slope[k + 1] -= f * dy;
                slope[l] += f * dx;
                slope[l + 1] += f * dy;
            } else {
                sum += self.pair(x, (i, j), gap, Some(slope));
            }
        }
        // Without a slope of its own nothing ever moves a body, not by one bit.
        for i in (0..n).filter(|i| self.still[*i]) {
            let k = self.unknown[i];
            slope[k..k + if self.turns[i] { 3 } else { 2 }].fill(0.0);
        }
        sum
    }

    fn polygon(&self, f: Flat) -> Polygon<'_> {
        Polygon {
            corners: &self.world[f.first..f.first + f.len],
            normals: &self.world_normals[f.first..f.first + f.len],
        }
    }

    /// Overlaps of one pair of bodies of any shape.
    fn pair(
        &mut self,
        x: &[f64],
        (i, j): (usize, usize),
        gap_m: f64,
        mut slope: Option<&mut [f64]>,
    ) -> f64 {
        let mut sum = 0.0;
        let (pi, pj) = (self.parts_of[i], self.parts_of[j]);
        let l = self.unknown[j];
        let far_m = self.bodies[j].reach_m + gap_m;
        for p in pi.0..pi.1 {
            let a = self.flat[p];
            if a.len == 1 && apart_by(self.world[a.first], [x[l], x[l + 1]], a.r_m + far_m) {
                continue;
            }
            for q in pj.0..pj.1 {
                let b = self.flat[q];
                let need = a.r_m + b.r_m + gap_m;
                if a.len == 1
                    && b.len == 1
                    && apart_by(self.world[a.first], self.world[b.first], need)
                {
                    continue;
                }
                let found = apart(self.polygon(a), self.polygon(b), need);
                let e = need - found.d_m;
                if e <= 0.0 {
                    continue;
                }
                self.worst_m = self.worst_m.max(e);
                sum += e * e;
                if let Some(slope) = slope.as_deref_mut() {
                    let f = 2.0 * e;
                    self.push(slope, x, i, found.on_a, found.dir, f);
                    self.push(slope, x, j, found.on_b, [-found.dir[0], -found.dir[1]], f);
                }
            }
        }
        sum
    }

    /// A push of size `f` along `dir` on body `i` at a point, as slope.
    fn push(&self, slope: &mut [f64], x: &[f64], i: usize, at: [f64; 2], dir: [f64; 2], f: f64) {
        let k = self.unknown[i];
        slope[k] -= f * dir[0];
        slope[k + 1] -= f * dir[1];
        if self.turns[i] {
            let twist = (at[0] - x[k]) * dir[1] - (at[1] - x[k + 1]) * dir[0];
            slope[k + 2] -= f * twist / self.bodies[i].reach_m;
        }
    }

    /// Overlaps of one body with walls and obstacles.
    fn walls(&mut self, x: &[f64], i: usize, slope: &mut [f64]) -> f64 {
        let mut sum = 0.0;
        let mut worst: f64 = 0.0;
        let k = self.unknown[i];
        let middle = [x[k], x[k + 1]];
        let (body, room) = (self.bodies[i], self.room);
        let (from, to) = self.parts_of[i];
        for wall in &room.walls {
            let keep = wall.keep_m + self.inset_m;
            if wall.region.holds(middle, body.reach_m + keep) {
                continue;
            }
            for f in &self.flat[from..to] {
                for v in f.first..f.first + f.len {
                    let at = self.world[v];
                    wall.region.each_excess(at, f.r_m + keep, |e, dir| {
                        worst = worst.max(e);
                        sum += e * e;
                        self.push(slope, x, i, at, [-dir[0], -dir[1]], 2.0 * e);
                    });
                }
            }
        }
        for &o in &self.met[i] {
            let o = &room.obstacles[o];
            let far = body.reach_m + o.keep_m;
            let [dx, dy] = [0, 1].map(|k| middle[k] - (o.ends[0][k] + o.ends[1][k]) / 2.0);
            let far = far + o.half_m();
            if dx * dx + dy * dy >= far * far {
                continue;
            }
            for f in &self.flat[from..to] {
                let need = f.r_m + o.keep_m;
                let found = apart(self.polygon(*f), o.polygon(), need);
                let e = need - found.d_m;
                if e > 0.0 {
                    worst = worst.max(e);
                    sum += e * e;
                    self.push(slope, x, i, found.on_a, found.dir, 2.0 * e);
                }
            }
        }
        self.worst_m = self.worst_m.max(worst);
        sum
    }

    /// Energy of one body among those of `others`, the rest left aside.
    pub fn squeeze(
        &mut self,
        x: &[f64],
        i: usize,
        others: impl Iterator<Item = usize>,
        scratch: &mut [f64],
    ) -> f64 {
        self.move_corners(x, i);
        let worst = self.worst_m;
        let mut sum = self.walls(x, i, scratch);
        self.worst_m = worst;
        let k = self.unknown[i];
        for j in others.filter(|&j| j != i) {
            let l = self.unknown[j];
            let (a, b) = (self.bodies[i], self.bodies[j]);
            let gap = a.gap_m.max(b.gap_m);
            let far = a.reach_m + b.reach_m + gap;
            let (dx, dy) = (x[k] - x[l], x[k + 1] - x[l + 1]);
            let square = dx * dx + dy * dy;
            if square >= far * far {
                continue;
            }
            if !self.turns[i] && !self.turns[j] {
                sum += (far - square.sqrt()).powi(2);
            } else {
                let (lo, hi) = (i.min(j), i.max(j));
                sum += self.pair(x, (lo, hi), gap, None);
            }
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engine::{Obstacle, Part, Wall};
    use crate::region::Region;
    use proptest::prelude::*;

    fn bodies() -> Vec<Body> {
        let bar = Part {
            corners: vec![[-0.1, -0.03], [0.1, -0.03], [0.1, 0.03], [-0.1, 0.03]],
            r_m: 0.0,
        };
        let coin = Part::disc([0.0, 0.0], 0.08);
        let two = vec![bar.clone(), Part::disc([0.05, 0.02], 0.06)];
        vec![
            Body::new(vec![bar], 0.01, 0.1),
            Body::new(vec![coin], 0.005, 0.1),
            Body::new(two, 0.0, 0.1),
        ]
    }

    proptest! {
        /// The slope is what the energy does when one unknown moves a little.
        #[test]
        fn the_slope_is_the_energys(x in proptest::collection::vec(-0.25f64..0.25, 8)) {
            let room = Room {
                walls: vec![Wall { region: Region::disc(0.3), keep_m: 0.01 }],
                obstacles: vec![Obstacle::rod([[0.1, 0.1], [0.2, 0.3]], 0.02, 0.03, 0.0)],
            };
            let bodies = bodies();
            let bodies: Vec<&Body> = bodies.iter().collect();
            let mut scene = Scene::new(&room, &bodies);
            let (mut slope, mut unused) = (vec![0.0; 8], vec![0.0; 8]);
            scene.energy(&x, &mut slope);
            for k in 0..8 {
                const H: f64 = 1e-7;
                let mut at = |by: f64| {
                    let mut y = x.clone();
                    y[k] += by;
                    scene.energy(&y, &mut unused)
                };
                let (up, down, mid) = (at(H), at(-H), at(0.0));
                // Where a corner takes over from another the slope jumps: there either side will do.
                let sides = ((up - mid) / H, (mid - down) / H);
                let (lo, hi) = (sides.0.min(sides.1) - 1e-5, sides.0.max(sides.1) + 1e-5);
                prop_assert!(slope[k] > lo && slope[k] < hi, "{k}: {} not in {lo}..{hi}", slope[k]);
            }
        }
    }
}
