//! What a careful loader does when the choice is made: heavy ware low, delicate ware high, and the
//! slack of each shelf shared out among its ware.

use rand_chacha::ChaCha8Rng;

use super::filling::{Filling, Task, stand};
use crate::engine::{Body, Pose, Room, place};
use crate::ware::delicate;

/// Gaps tried beyond those that must be kept, m, the widest first.
const WIDER_M: [f64; 10] = [
    0.030, 0.022, 0.016, 0.012, 0.009, 0.007, 0.005, 0.003, 0.002, 0.001,
];
/// Descents spent on each.
const TRIES: usize = 4;
/// A delicate piece pulls its shelf up like this mass less, kg. Proposed here.
const DELICATE_KG: f64 = 1.0;

/// Orders and spreads a filling; its worth stays the same.
pub fn finish(task: &Task<'_, '_, '_>, f: &mut Filling, rng: &mut ChaCha8Rng) {
    order(task, f, rng);
    for k in 0..f.on.len() {
        spread(task, f, k, rng);
    }
}

/// Swaps the ware of whole shelves while that brings weight down or delicate ware up.
fn order(task: &Task<'_, '_, '_>, f: &mut Filling, rng: &mut ChaCha8Rng) {
    let n = f.on.len();
    for (a, b) in (0..n).flat_map(|a| (a + 1..n).map(move |b| (a, b))) {
        let (low, high) = if task.shelves[a].level.top_mm <= task.shelves[b].level.top_mm {
            (a, b)
        } else {
            (b, a)
        };
        if pull(task, &f.on[low]) >= pull(task, &f.on[high]) {
            continue;
        }
        if let Some(up) = moved(task, &f.on[low], high, rng)
            && let Some(down) = moved(task, &f.on[high], low, rng)
        {
            f.on[low] = down;
            f.on[high] = up;
        }
    }
}

/// How much the ware of a shelf belongs low, kg.
fn pull(task: &Task<'_, '_, '_>, on: &[(usize, Pose)]) -> f64 {
    on.iter()
        .map(|(i, _)| &task.ware[*i])
        .map(|w| w.mass_kg - if delicate(w) { DELICATE_KG } else { 0.0 })
        .sum()
}

/// The ware of one shelf on another, as nearly as it stood.
fn moved(
    task: &Task<'_, '_, '_>,
    on: &[(usize, Pose)],
    to: usize,
    rng: &mut ChaCha8Rng,
) -> Option<Vec<(usize, Pose)>> {
    let shelf = &task.shelves[to];
    if !on.iter().all(|(i, _)| shelf.may_hold(&task.ware[*i])) {
        return None;
    }
    let ids: Vec<usize> = on.iter().map(|(i, _)| *i).collect();
    let bodies: Vec<&Body> = ids.iter().map(|i| &task.ware[*i].body).collect();
    let start: Vec<Option<Pose>> = on.iter().map(|(_, p)| Some(*p)).collect();
    let poses = place(&shelf.room, &bodies, &start, TRIES, rng)?;
    stand(task, to, &ids, poses)
}

/// Shares out the slack of a shelf: the widest gap that all can keep.
fn spread(task: &Task<'_, '_, '_>, f: &mut Filling, k: usize, rng: &mut ChaCha8Rng) {
    let on = &f.on[k];
    let shelf = &task.shelves[k];
    let ids: Vec<usize> = on.iter().map(|(i, _)| *i).collect();
    let start: Vec<Option<Pose>> = on.iter().map(|(_, p)| Some(*p)).collect();
    for wider in WIDER_M {
        let bodies: Vec<Body> = ids
            .iter()
            .map(|i| {
                let mut b = task.ware[*i].body.clone();
                b.gap_m += wider;
                b
            })
            .collect();
        let bodies: Vec<&Body> = bodies.iter().collect();
        let room = Room {
            walls: shelf.room.walls.clone(),
            obstacles: shelf
                .room
                .obstacles
                .iter()
                .map(|o| o.wider(wider))
                .collect(),
        };
        let found = place(&room, &bodies, &start, TRIES, rng);
        if let Some(on) = found.and_then(|poses| stand(task, k, &ids, poses)) {
            f.on[k] = on;
            return;
        }
    }
}
