//! Ware in its places while a plan is changed, and how a piece finds one more.

use std::collections::BTreeSet;

use glost_model::load::LoadPlan;
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

use super::asked::Asked;
use crate::assemble::{Task, rank, stand, suffers};
use crate::engine::{Body, Pose, squeeze_in_beside};
use crate::plan::PlanAsk;
use crate::ware::Ware;

/// Looks for a free place, and for one where neighbours give way.
const FREE_TRIES: usize = 12;
const SHIFT_TRIES: usize = 8;
/// Poses closer than this are the same: positions are written to 0.1 mm.
const SAME_M: f64 = 5e-5;

/// Ware on the shelves of one tier.
pub type Tierful = Vec<(usize, Pose)>;

/// Ware in its places.
pub struct Seats<'t, 's, 'a> {
    /// What may stand where.
    pub task: &'t Task<'t, 's, 'a>,
    /// Ware on each tier with its place.
    pub on: Vec<Tierful>,
    /// Where each ware stood in the plan.
    pub was: Vec<Option<(usize, Pose)>>,
    /// Ware that does not move at all.
    pub still: Vec<bool>,
    /// Ware that may shift and does not leave its tier.
    pub stays: Vec<bool>,
    /// For whom ware went out.
    pub made_way: Vec<Option<String>>,
    barred: BTreeSet<(usize, usize)>,
    rng: ChaCha8Rng,
}

/// How many pieces stand elsewhere than in the plan, and how far all of them were shifted, m.
pub type Cost = (usize, f64);

fn number(task: &Task<'_, '_, '_>, id: &str) -> Option<usize> {
    let of = |w: &Ware<'_>| w.pieces().any(|p| p.id == id);
    task.ware.iter().position(of)
}

/// Whether two poses are one.
pub fn same(a: &Pose, b: &Pose, reach_m: f64) -> bool {
    let turn = (a[2] - b[2]).rem_euclid(std::f64::consts::TAU);
    let turn = turn.min(std::f64::consts::TAU - turn);
    (a[0] - b[0]).hypot(a[1] - b[1]) < SAME_M && turn * reach_m < SAME_M
}

impl<'t, 's, 'a> Seats<'t, 's, 'a> {
    /// Every piece of the plan that may still go, where it stands.
    pub fn of(
        ask: &PlanAsk<'_>,
        task: &'t Task<'t, 's, 'a>,
        from: &LoadPlan,
        asked: &Asked,
    ) -> Self {
        let number = |id: &str| number(task, id);
        let mut was = vec![None; task.ware.len()];
        let mut on = vec![Vec::new(); task.shelves.len()];
        for (k, t) in from.tiers.iter().enumerate() {
            for p in t.pieces.iter().filter(|p| p.on.is_none()) {
                let pose = [p.x_m.to_m(), p.y_m.to_m(), p.rotation_rad.to_rad()];
                if let Some(i) = number(&p.piece) {
                    was[i] = Some((k, pose));
                    on[k].push((i, pose));
                }
            }
        }
        let forbid = asked.forbid.iter();
        Self {
            still: task
                .ware
                .iter()
                .map(|w| w.pieces().any(|p| asked.keep.contains(&p.id)))
                .collect(),
            stays: vec![false; task.ware.len()],
            made_way: vec![None; task.ware.len()],
            barred: forbid
                .filter_map(|(id, k)| Some((number(id)?, *k)))
                .collect(),
            rng: ChaCha8Rng::seed_from_u64(ask.seed),
            task,
            on,
            was,
        }
    }

    /// How far a turn reaches, m; nothing for ware that looks the same however it is turned.
    pub fn reach_m(&self, i: usize) -> f64 {
        let body = &self.task.ware[i].body;
        if body.round() { 0.0 } else { body.reach_m }
    }

    /// The number of the ware that a piece is or belongs to, if it may go.
    pub fn number(&self, id: &str) -> Option<usize> {
        number(self.task, id)
    }

    /// The tier that a piece stands on.
    pub fn tier_of(&self, i: usize) -> Option<usize> {
        self.on
            .iter()
            .position(|on| on.iter().any(|(j, _)| *j == i))
    }

    /// Whether a piece goes.
    pub fn is_in(&self, id: &str) -> bool {
        self.number(id).is_some_and(|i| self.tier_of(i).is_some())
    }

    /// Whether it may not stand on a tier.
    pub fn is_barred(&self, i: usize, k: usize) -> bool {
        self.barred.contains(&(i, k))
    }

    /// Worth of all that is in.
    pub fn value(&self) -> f64 {
        let all = self.on.iter().flatten();
        all.map(|(i, _)| self.task.ware[*i].value).sum()
    }

    /// Sets of which nothing is in.
    pub fn waiting(&self) -> Vec<usize> {
        let members = self.task.sets.members.iter().enumerate();
        members
            .filter(|(_, m)| m.iter().all(|i| self.tier_of(*i).is_none()))
            .map(|(s, _)| s)
            .collect()
    }

    /// Takes a piece off its tier.
    pub fn lift(&mut self, i: usize) {
        for on in &mut self.on {
            on.retain(|(j, _)| *j != i);
        }
    }

    /// Takes out a piece with all of its set.
    pub fn send_out(&mut self, i: usize) {
        for &j in &self.task.sets.members[self.task.sets.of[i]] {
            self.lift(j);
        }
    }

    /// Whether any of a piece's set may not leave its tier.
    pub fn bound(&self, i: usize) -> bool {
        let set = &self.task.sets.members[self.task.sets.of[i]];
        set.iter().any(|j| self.still[*j] || self.stays[*j])
    }

    /// How much differs from the plan on a tier.
    pub fn cost(&self, k: usize, on: &[(usize, Pose)]) -> Cost {
        on.iter()
            .fold((0, 0.0), |(n, far), (i, p)| match self.was[*i] {
                Some((t, w)) if t == k && same(&w, p, self.reach_m(*i)) => (n, far),
                Some((t, w)) if t == k => (n + 1, far + (w[0] - p[0]).hypot(w[1] - p[1])),
                _ => (n + 1, far),
            })
    }

    /// Stands a piece on a tier, near `at` if it can; neighbours give way when told to. Tells whether it stands.
    pub fn seat(&mut self, k: usize, i: usize, at: Option<Pose>, give_way: bool) -> bool {
        let w = &self.task.ware[i];
        let company = suffers(self.task.ware, i, self.on[k].iter().map(|(j, _)| *j));
        if self.is_barred(i, k) || !self.task.shelves[k].may_hold(w) || !company {
            return false;
        }
        let mut ids: Vec<usize> = self.on[k].iter().map(|(j, _)| *j).collect();
        let mut still: Vec<bool> = ids.iter().map(|j| !give_way || self.still[*j]).collect();
        ids.push(i);
        still.push(false);
        let tries = if give_way { SHIFT_TRIES } else { FREE_TRIES };
        let mut best: Option<(Cost, Tierful)> = None;
        for n in 0..tries {
            let hint = if n == 0 { at } else { None };
            let places = self.on[k].iter().map(|(_, p)| Some(*p));
            let start: Vec<Option<Pose>> = places.chain([hint]).collect();
            let Some(on) = self.settle(k, &ids, &start, &still) else {
                continue;
            };
            let cost = self.cost(k, &on);
            if best.as_ref().is_none_or(|(least, _)| less(cost, *least)) {
                best = Some((cost, on));
            }
            if !give_way || n == 0 && at.is_some() {
                break;
            }
        }
        let Some((_, on)) = best else { return false };
        self.on[k] = if give_way {
            self.put_back(k, i, on)
        } else {
            on
        };
        true
    }

    fn settle(
        &mut self,
        k: usize,
        ids: &[usize],
        start: &[Option<Pose>],
        still: &[bool],
    ) -> Option<Tierful> {
        let bodies: Vec<&Body> = ids.iter().map(|j| &self.task.ware[*j].body).collect();
        let room = &self.task.shelves[k].room;
        let poses = squeeze_in_beside(room, &bodies, start, still, &mut self.rng)?;
        let mut on = stand(self.task, k, ids, poses)?;
        for ((j, p), from) in on.iter_mut().zip(start) {
            // What has not moved stays the same to the last bit.
            if let Some(w) = from.filter(|w| same(w, p, self.reach_m(*j))) {
                *p = w;
            }
        }
        Some(on)
    }

    /// Tries to put each neighbour of `i` back where the plan had it, the least shifted first.
    fn put_back(&mut self, k: usize, i: usize, mut on: Tierful) -> Tierful {
        let mut moved: Vec<(f64, usize)> = (0..on.len())
            .filter_map(|n| {
                let (j, p) = on[n];
                let (t, w) = self.was[j].filter(|_| j != i)?;
                let there = same(&w, &p, self.reach_m(j));
                (t == k && !there).then(|| ((w[0] - p[0]).hypot(w[1] - p[1]), n))
            })
            .collect();
        moved.sort_by(|a, b| a.0.total_cmp(&b.0));
        let ids: Vec<usize> = on.iter().map(|(j, _)| *j).collect();
        for (_, n) in moved {
            let Some((_, home)) = self.was[ids[n]] else {
                continue;
            };
            let mut start: Vec<Option<Pose>> = on.iter().map(|(_, p)| Some(*p)).collect();
            start[n] = Some(home);
            let still: Vec<bool> = on
                .iter()
                .enumerate()
                .map(|(m, (j, p))| {
                    let home =
                        self.was[*j].is_some_and(|(t, w)| t == k && same(&w, p, self.reach_m(*j)));
                    m == n || (*j != i && (home || self.still[*j]))
                })
                .collect();
            if let Some(better) = self.settle(k, &ids, &start, &still)
                && less(self.cost(k, &better), self.cost(k, &on))
            {
                on = better;
            }
        }
        on
    }

    /// Finds a piece a place on any tier, a free one first.
    pub fn house(&mut self, i: usize) -> bool {
        let w = &self.task.ware[i];
        let mut tiers: Vec<usize> = (0..self.on.len()).collect();
        tiers.sort_by(|&a, &b| rank(self.task, w, a).total_cmp(&rank(self.task, w, b)));
        [false, true]
            .into_iter()
            .any(|give_way| tiers.iter().any(|&k| self.seat(k, i, None, give_way)))
    }

    /// Lets a whole set in where there is room, or leaves all as it was.
    pub fn let_in(&mut self, set: usize) -> bool {
        let before = self.on.clone();
        let members = self.task.sets.members[set].clone();
        let all = members
            .into_iter()
            .all(|i| self.tier_of(i).is_some() || self.house(i));
        if !all {
            self.on = before;
        }
        all
    }
}

/// Fewer pieces first, then less way.
pub fn less(a: Cost, b: Cost) -> bool {
    a.0 < b.0 || (a.0 == b.0 && a.1 < b.1 - 1e-9)
}
