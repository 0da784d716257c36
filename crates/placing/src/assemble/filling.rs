//! Which ware stands where on the shelves of a stack, and how a set gets in and out.

use rand::RngExt as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;

use super::sets::Sets;
use super::shelf::Shelf;
use crate::engine::{Body, Pose, place, rows, squeeze_in};
use crate::ware::{Ware, by_worth, delicate};

/// A shelf fuller than this (grown areas over the room for them) is not tried: it almost never fits.
const FULLEST: f64 = 0.87;
/// Share of a shelf's room that is dealt out before places are looked for.
const DEALT: f64 = 0.76;
/// Waiting sets that get a second look when a stack has been filled; the rounds look at all.
const SECOND_LOOK: usize = 60;
/// Above this mass ware is dealt to low shelves first, kg. Proposed here.
const HEAVY_KG: f64 = 1.5;

/// What is to be placed and on which shelves: the same all through a search.
pub struct Task<'t, 's, 'a> {
    /// All ware that may go.
    pub ware: &'t [Ware<'a>],
    /// Its sets.
    pub sets: &'t Sets,
    /// Shelves of one stack.
    pub shelves: &'t [Shelf<'s, 'a>],
}

/// Ware on shelves. Only whole sets are in.
#[derive(Debug, Clone)]
pub struct Filling {
    /// Ware on each shelf with its place.
    pub on: Vec<Vec<(usize, Pose)>>,
    /// Whether each set is in.
    pub is_in: Vec<bool>,
    /// Worth of all that is in.
    pub value: f64,
    /// How often a place was looked for.
    pub looks: u64,
    used_m2: Vec<f64>,
    kg: Vec<f64>,
    /// Ware that found no place on a shelf since that shelf last lost any.
    failed: Vec<Vec<bool>>,
}

impl Filling {
    /// Empty shelves.
    pub fn empty(task: &Task<'_, '_, '_>) -> Self {
        let n = task.shelves.len();
        Self {
            on: vec![Vec::new(); n],
            is_in: vec![false; task.sets.members.len()],
            value: 0.0,
            looks: 0,
            used_m2: vec![0.0; n],
            kg: vec![0.0; n],
            failed: vec![vec![false; task.ware.len()]; n],
        }
    }

    /// Deals ware out by area, finds real places, then tries to add what is still out.
    pub fn dealt(task: &Task<'_, '_, '_>, rng: &mut ChaCha8Rng) -> Self {
        let mut f = Self::empty(task);
        let ware = task.ware;
        let mut order: Vec<usize> = (0..ware.len()).collect();
        order.sort_by(|&a, &b| by_worth(&ware[a], &ware[b]));
        let mut lots: Vec<Vec<usize>> = vec![Vec::new(); task.shelves.len()];
        let mut used = vec![0.0; lots.len()];
        for i in order {
            let w = &ware[i];
            let fit = (0..lots.len())
                .filter(|&k| {
                    task.shelves[k].may_hold(w)
                        && suffers(ware, i, lots[k].iter().copied())
                        && used[k] + w.area_m2 <= DEALT * task.shelves[k].room_m2
                })
                .min_by(|&a, &b| rank(task, w, a).total_cmp(&rank(task, w, b)));
            if let Some(k) = fit {
                used[k] += w.area_m2;
                lots[k].push(i);
            }
        }
        for (k, mut lot) in lots.into_iter().enumerate() {
            while !lot.is_empty() {
                let bodies: Vec<&Body> = lot.iter().map(|&i| &ware[i].body).collect();
                let room = &task.shelves[k].room;
                // Tiles line up best when they are dropped in rows.
                let start = if ware.iter().all(|w| w.body.round()) {
                    Vec::new()
                } else {
                    rows::fallen(room, &bodies, &rows::Order::by_size(&bodies))
                };
                let found = place(room, &bodies, &start, 6, rng);
                if let Some(on) = found.and_then(|poses| stand(task, k, &lot, poses)) {
                    f.on[k] = on;
                    break;
                }
                // Dealt by worth per area: the last is the least loss.
                lot.pop();
            }
        }
        f.count_up(task);
        f.part_broken(task);
        let mut out = f.outside();
        out.sort_by(|&a, &b| {
            let dense = |s: usize| task.sets.value[s] / task.sets.area_m2[s];
            let urgent = task.sets.urgent[b].cmp(&task.sets.urgent[a]);
            urgent.then_with(|| dense(b).total_cmp(&dense(a)))
        });
        for s in out.into_iter().take(SECOND_LOOK) {
            f.put_in(task, s, FULLEST, rng);
        }
        f
    }

    /// Sets that are out.
    pub fn outside(&self) -> Vec<usize> {
        (0..self.is_in.len()).filter(|&s| !self.is_in[s]).collect()
    }

    /// Works every sum out from the ware on the shelves.
    fn count_up(&mut self, task: &Task<'_, '_, '_>) {
        let mut missing: Vec<usize> = task.sets.members.iter().map(Vec::len).collect();
        for (k, on) in self.on.iter().enumerate() {
            self.used_m2[k] = on.iter().map(|(i, _)| task.ware[*i].area_m2).sum();
            self.kg[k] = on.iter().map(|(i, _)| task.ware[*i].mass_kg).sum();
            for (i, _) in on {
                missing[task.sets.of[*i]] -= 1;
            }
        }
        self.is_in = missing.iter().map(|m| *m == 0).collect();
        let sets = self.is_in.iter().zip(&task.sets.value);
        self.value = sets.filter(|(is_in, _)| **is_in).map(|(_, v)| v).sum();
    }

    /// Takes out ware of sets that are not whole.
    fn part_broken(&mut self, task: &Task<'_, '_, '_>) {
        for on in &mut self.on {
            on.retain(|(i, _)| self.is_in[task.sets.of[*i]]);
        }
        self.count_up(task);
    }

    /// Takes a set out.
    pub fn take_out(&mut self, task: &Task<'_, '_, '_>, set: usize) {
        if !std::mem::replace(&mut self.is_in[set], false) {
            return;
        }
        self.value -= task.sets.value[set];
        for k in 0..self.on.len() {
            let before = self.on[k].len();
            self.on[k].retain(|(i, _)| task.sets.of[*i] != set);
            if self.on[k].len() < before {
                self.recount(task, k);
                self.failed[k].fill(false);
            }
        }
    }

    fn recount(&mut self, task: &Task<'_, '_, '_>, k: usize) {
        self.used_m2[k] = self.on[k].iter().map(|(i, _)| task.ware[*i].area_m2).sum();
        self.kg[k] = self.on[k].iter().map(|(i, _)| task.ware[*i].mass_kg).sum();
    }

    /// Puts a whole set in, or leaves everything as it was.
    pub fn put_in(
        &mut self,
        task: &Task<'_, '_, '_>,
        set: usize,
        fullest: f64,
        rng: &mut ChaCha8Rng,
    ) -> bool {
        if self.is_in[set] {
            return true;
        }
        let members = &task.sets.members[set];
        let mut done: Vec<(usize, Vec<(usize, Pose)>)> = Vec::new();
        for &i in members {
            let before = self.add(task, i, fullest, rng);
            match before {
                Some(undo) => done.push(undo),
                None => {
                    for (k, on) in done.into_iter().rev() {
                        self.on[k] = on;
                        self.recount(task, k);
                    }
                    return false;
                }
            }
        }
        self.is_in[set] = true;
        self.value += task.sets.value[set];
        true
    }

    /// Adds one piece wherever it finds room; returns the shelf and how it was before.
    fn add(
        &mut self,
        task: &Task<'_, '_, '_>,
        i: usize,
        fullest: f64,
        rng: &mut ChaCha8Rng,
    ) -> Option<(usize, Vec<(usize, Pose)>)> {
        let w = &task.ware[i];
        let mut may: Vec<usize> = (0..self.on.len())
            .filter(|&k| {
                let s = &task.shelves[k];
                !self.failed[k][i]
                    && s.may_hold(w)
                    && self.used_m2[k] + w.area_m2 <= fullest.min(FULLEST) * s.room_m2
                    && self.kg[k] + w.mass_kg <= s.level.shelf.load_limit.to_kg()
                    && suffers(task.ware, i, self.on[k].iter().map(|(j, _)| *j))
            })
            .collect();
        may.shuffle(rng);
        may.sort_by(|&a, &b| rank(task, w, a).total_cmp(&rank(task, w, b)));
        for k in may {
            let mut ids: Vec<usize> = self.on[k].iter().map(|(j, _)| *j).collect();
            ids.push(i);
            let bodies: Vec<&Body> = ids.iter().map(|j| &task.ware[*j].body).collect();
            let others: Vec<Pose> = self.on[k].iter().map(|(_, p)| *p).collect();
            self.looks += 1;
            let found = squeeze_in(&task.shelves[k].room, &bodies, &others, rng);
            if let Some(on) = found.and_then(|poses| stand(task, k, &ids, poses)) {
                let before = std::mem::replace(&mut self.on[k], on);
                self.recount(task, k);
                return Some((k, before));
            }
            self.failed[k][i] = true;
        }
        None
    }

    /// A shelf with ware on it, at random.
    pub fn busy_shelf(&self, rng: &mut ChaCha8Rng) -> Option<usize> {
        let busy: Vec<usize> = (0..self.on.len())
            .filter(|&k| !self.on[k].is_empty())
            .collect();
        (!busy.is_empty()).then(|| busy[rng.random_range(0..busy.len())])
    }
}

/// Ware at these places on a shelf, unless the shelf would tip or be overloaded.
pub fn stand(
    task: &Task<'_, '_, '_>,
    k: usize,
    ids: &[usize],
    mut poses: Vec<Pose>,
) -> Option<Vec<(usize, Pose)>> {
    let s = &task.shelves[k];
    let kg: f64 = ids.iter().map(|i| task.ware[*i].mass_kg).sum();
    if kg > s.level.shelf.load_limit.to_kg() {
        return None;
    }
    for p in &mut poses {
        for v in &mut p[..2] {
            *v = (*v * 10_000.0).round() / 10_000.0;
        }
    }
    let on: Vec<(usize, Pose)> = ids.iter().copied().zip(poses).collect();
    s.steady(task.ware, &on).then_some(on)
}

/// Whether a piece suffers all the others on its tier.
pub fn suffers(ware: &[Ware<'_>], i: usize, mut others: impl Iterator<Item = usize>) -> bool {
    let shuns = &ware[i].shuns;
    shuns.is_empty() || others.all(|k| !shuns.contains(&k))
}

/// Which shelf suits a piece: that which wastes least height; near equal, heavy ware low and
/// delicate ware high.
pub fn rank(task: &Task<'_, '_, '_>, w: &Ware<'_>, k: usize) -> f64 {
    let level = task.shelves[k].level;
    let waste = (level.clear_mm - w.body.top_m * 1000.0) / 30.0;
    let order = if w.mass_kg > HEAVY_KG {
        level.top_mm
    } else if delicate(w) {
        -level.top_mm
    } else {
        0.0
    };
    waste.floor() * 1e4 + order
}
