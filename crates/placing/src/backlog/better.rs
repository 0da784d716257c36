//! Makes firings fewer or cheaper: empties one into the others, moves them to other kilns, joins two,
//! and plans again what had to wait for furniture.

use std::collections::BTreeMap;

use glost_model::furniture::Furniture;
use rand::seq::SliceRandom as _;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::BacklogAsk;
use super::capacity::kilns_full;
use super::cones::{Sort, shared};
use super::deal::{PRESSING, ROUNDS, enough, pressing};
use super::lots::Lot;
use super::state::{Held, Maker, Score, Try};
use super::stock::Used;

/// Ware that has a firing keeps it before that of others.
const AT_HOME: f64 = 1.5;
/// Improvements of a load that is to take more than it did.
const HARD: u32 = 2 * ROUNDS;
/// Share of some ware that has to find room at once where all of it is to go.
const HOPE: f64 = 0.85;

/// Tries `rounds` changes and keeps those that make the whole better. No effort is spent on fewer firings
/// than `least`.
pub fn better(maker: &mut Maker<'_, '_>, firings: &mut Vec<Held>, least: usize, rounds: u32) {
    let mut rng = ChaCha8Rng::seed_from_u64(maker.ask.seed);
    let mut score = maker.score(firings);
    for round in 0..rounds {
        maker.done = 0.4 + 0.6 * f64::from(round) / f64::from(rounds);
        maker.found = firings.len();
        maker.tired |= !(maker.watch)(maker.done, maker.found);
        if maker.tired {
            return;
        }
        let more = firings.len() > least;
        let other = match round % 4 {
            0 if more => empty_one(maker, firings, round / 4, &mut rng),
            1 if more => join(maker, firings, &mut rng),
            2 if more => deal_again(maker, firings, &mut rng),
            3 => beside(maker, firings),
            _ => elsewhere(maker, firings, &mut rng),
        };
        // A round that was cut short proves nothing.
        if let Some(other) = other.filter(|_| !maker.tired) {
            let now: Score = maker.score(&other);
            if now < score {
                (*firings, score) = (other, now);
            }
        }
    }
}

/// Moves the ware of one firing into the others, as far as they take it. The emptiest come first.
fn empty_one(
    maker: &mut Maker<'_, '_>,
    firings: &[Held],
    nth: u32,
    rng: &mut ChaCha8Rng,
) -> Option<Vec<Held>> {
    let mut by_room: Vec<usize> = (0..firings.len()).collect();
    let room = |maker: &Maker<'_, '_>, i: usize| maker.room_m3(&firings[i].lots);
    by_room.sort_by(|a, b| room(maker, *a).total_cmp(&room(maker, *b)));
    // Only what something else could take at all.
    by_room.retain(|i| {
        let others = firings.iter().enumerate().filter(|(k, _)| k != i);
        let mut lots = firings[*i].lots.iter();
        lots.any(|l| others.clone().any(|(_, f)| f.sort.suits(&maker.lots[*l])))
    });
    let from = *by_room.get(nth as usize % by_room.len().max(1))?;
    // Ware that would be late in the last of the firings stays where it is.
    let last = maker.timed(firings)?.into_iter().map(|(_, s)| s);
    let last = last.max_by_key(|s| s.done_s)?;
    let held_fast = |maker: &Maker<'_, '_>, l: usize| maker.delay(l, &last).is_some_and(|d| d > 0);
    let mut left = firings[from].lots.clone();
    let mut out: Vec<Held> = firings.to_vec();
    let mut order: Vec<usize> = (0..firings.len()).filter(|i| *i != from).collect();
    order.shuffle(rng);
    for i in order {
        let host = &firings[i];
        let guests: Vec<usize> = left
            .iter()
            .copied()
            .filter(|l| host.sort.suits(&maker.lots[*l]))
            .collect();
        if guests.is_empty() {
            continue;
        }
        let lots: Vec<usize> = host.lots.iter().chain(&guests).copied().collect();
        let fast: Vec<usize> = lots
            .iter()
            .copied()
            .filter(|l| held_fast(maker, *l))
            .collect();
        let home = |l: usize| match (host.lots.contains(&l), fast.contains(&l)) {
            (true, true) => PRESSING,
            (true, false) => AT_HOME,
            (false, _) => 1.0,
        };
        let made = maker.make(&Try {
            sort: host.sort,
            kiln: &host.kiln,
            lots: &lots,
            dear: &home,
            furniture: None,
            rounds: HARD,
            hope: 0.0,
        });
        let Some(held) = made.held else { continue };
        if maker.room_m3(&held.lots) > maker.room_m3(&host.lots) {
            // What lost its place looks for another.
            left.retain(|l| !guests.contains(l));
            left.extend(made.out);
            out[i] = held;
        }
    }
    if left.is_empty() {
        out.remove(from);
        return Some(out);
    }
    out[from] = again(maker, &left, &firings[from])?;
    Some(out)
}

/// Pools two or three firings of one sort and deals their ware out again, with other likings.
fn deal_again(
    maker: &mut Maker<'_, '_>,
    firings: &[Held],
    rng: &mut ChaCha8Rng,
) -> Option<Vec<Held>> {
    let sort = firings.get(rng.random_range(0..firings.len().max(1)))?.sort;
    let mut which: Vec<usize> = (0..firings.len())
        .filter(|i| firings[*i].sort == sort)
        .collect();
    which.shuffle(rng);
    which.truncate(3);
    if which.len() < 2 {
        return None;
    }
    let mut left: Vec<usize> = which
        .iter()
        .flat_map(|i| firings[*i].lots.clone())
        .collect();
    left.sort_unstable();
    let liking: BTreeMap<usize, f64> = left
        .iter()
        .map(|l| (*l, rng.random_range(0.6..1.6)))
        .collect();
    let stay = |(i, f): (usize, &Held)| (!which.contains(&i)).then(|| f.clone());
    let mut out: Vec<Held> = firings.iter().enumerate().filter_map(stay).collect();
    for i in which {
        let kiln = &firings[i].kiln;
        let hot = pressing(maker, &left, &out, kiln);
        let dear = |l: usize| {
            let press = if hot.contains(&l) { PRESSING } else { 1.0 };
            press * liking.get(&l).copied().unwrap_or(1.0)
        };
        let lots = enough(maker, &left, &dear, maker.chamber_m3(kiln));
        let made = maker.make(&Try {
            sort,
            kiln,
            lots: &lots,
            dear: &dear,
            furniture: None,
            rounds: ROUNDS,
            hope: 0.0,
        });
        let held = made.held?;
        left.retain(|l| !held.lots.contains(l));
        out.push(held);
        if left.is_empty() {
            return Some(out);
        }
    }
    None
}

/// A firing of exactly these lots like another one: in its kiln and at its cone if that suits them,
/// else wherever all of them go.
fn again(maker: &mut Maker<'_, '_>, lots: &[usize], like: &Held) -> Option<Held> {
    let of: Vec<_> = lots.iter().map(|l| &maker.lots[*l]).collect();
    let leaded = of.iter().find_map(|l| l.leaded).unwrap_or(false);
    let kind = of.first()?.kind;
    let one = of
        .iter()
        .all(|l| l.kind == kind && l.leaded.is_none_or(|x| x == leaded));
    if !one {
        return None;
    }
    let mut cones = shared(&of);
    cones.sort_by_key(|c| *c != like.sort.cone);
    for cone in cones {
        let sort = Sort { kind, cone, leaded };
        let mut kilns = maker.kilns(&sort);
        kilns.sort_by_key(|k| *k != like.kiln);
        for kiln in kilns {
            if let Some(held) = exactly(maker, sort, &kiln, lots, None) {
                return Some(held);
            }
        }
    }
    None
}

/// A firing that takes all of these lots.
fn exactly(
    maker: &mut Maker<'_, '_>,
    sort: Sort,
    kiln: &str,
    lots: &[usize],
    furniture: Option<&Furniture>,
) -> Option<Held> {
    let mut asked = lots.to_vec();
    asked.sort_unstable();
    let asked = (kiln.to_owned(), sort, asked);
    let of: Vec<&Lot<'_>> = lots.iter().map(|l| &maker.lots[*l]).collect();
    let only = [kiln.to_owned()];
    let alone = BacklogAsk {
        kilns: &only,
        ..*maker.ask
    };
    // What is too much by areas and heights alone need not be tried, nor what failed before.
    let hopeless = kilns_full(&alone, sort.kind, &of).is_some_and(|full| full > 1.0 + 1e-6);
    if hopeless || furniture.is_none() && maker.failed.contains(&asked) {
        return None;
    }
    let made = maker.make(&Try {
        sort,
        kiln,
        lots,
        dear: &|_| 1.0,
        furniture,
        rounds: HARD,
        hope: HOPE,
    });
    let whole = made.held.filter(|_| made.out.is_empty());
    if whole.is_none() && furniture.is_none() && !maker.tired {
        maker.failed.push(asked);
    }
    whole
}

/// Moves one firing to another kiln, or to another cone that suits it.
fn elsewhere(
    maker: &mut Maker<'_, '_>,
    firings: &[Held],
    rng: &mut ChaCha8Rng,
) -> Option<Vec<Held>> {
    let i = rng.random_range(0..firings.len().max(1));
    let own = firings.get(i)?;
    let kilns = maker.kilns(&own.sort);
    let others: Vec<&String> = kilns.iter().filter(|k| **k != own.kiln).collect();
    let kiln = *others.get(rng.random_range(0..others.len().max(1)))?;
    let held = exactly(maker, own.sort, kiln, &own.lots, None)?;
    let mut out = firings.to_vec();
    out[i] = held;
    Some(out)
}

/// Puts two firings into one, at any cone that suits all of their ware.
fn join(maker: &mut Maker<'_, '_>, firings: &[Held], rng: &mut ChaCha8Rng) -> Option<Vec<Held>> {
    if firings.len() < 2 {
        return None;
    }
    let a = rng.random_range(0..firings.len());
    let b = (a + rng.random_range(1..firings.len())) % firings.len();
    let mut lots: Vec<usize> = firings[a].lots.clone();
    lots.extend(&firings[b].lots);
    let held = again(maker, &lots, &firings[a])?;
    let mut out = firings.to_vec();
    out[a] = held;
    out.remove(b);
    Some(out)
}

/// Plans the first firing that waits for furniture again, with what is left beside the others.
fn beside(maker: &mut Maker<'_, '_>, firings: &[Held]) -> Option<Vec<Held>> {
    let timed = maker.timed(firings)?;
    let (i, slot) = timed.iter().find(|(_, s)| s.waited)?;
    let own = &firings[*i];
    // Those that were under way while it waited.
    let before = timed.iter().take_while(|(k, _)| k != i);
    let in_use = before
        .filter(|(k, s)| firings[*k].kiln != own.kiln && s.done_s <= slot.load_s)
        .max_by_key(|(_, s)| s.done_s)?;
    let left = Used::by(&firings[in_use.0].load).left_of(&maker.ask.studio.furniture);
    let held = exactly(maker, own.sort, &own.kiln, &own.lots, Some(&left))?;
    let mut out = firings.to_vec();
    out[*i] = held;
    Some(out)
}
