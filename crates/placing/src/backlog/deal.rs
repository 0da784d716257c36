//! Deals ware out, one firing after another.

use std::collections::BTreeSet;

use glost_model::load::LeftOut;

use super::Aim;
use super::cones::Sort;
use super::state::{Held, Made, Maker, Try};

/// Improvements of each load while it is sought.
pub const ROUNDS: u32 = 60;
/// Ware that would be late with the next firing, and ware that this sort of firing alone can take.
pub const PRESSING: f64 = 10.0;
const PICKY: f64 = 2.0;

/// Firings for all the ware, and what none can take.
pub fn deal(maker: &mut Maker<'_, '_>, sorts: &[Sort]) -> (Vec<Held>, Vec<LeftOut>) {
    let mut waiting: BTreeSet<usize> = (0..maker.lots.len()).collect();
    // Sorts of firing that turned out not to hold a lot, even alone.
    let mut shut: BTreeSet<(usize, usize)> = BTreeSet::new();
    let mut firings: Vec<Held> = Vec::new();
    let mut stay = Vec::new();
    let all = waiting.len().max(1) as f64;
    while let Some((k, pool)) = next_pool(maker, sorts, &waiting, &shut) {
        maker.done = 0.4 * (1.0 - waiting.len() as f64 / all);
        maker.found = firings.len();
        let picky = |i: usize| {
            let open = |s: &usize| sorts[*s].suits(&maker.lots[i]) && !shut.contains(&(i, *s));
            (0..sorts.len()).filter(open).count() == 1
        };
        let picky: BTreeSet<usize> = pool.iter().copied().filter(|i| picky(*i)).collect();
        match best(maker, &sorts[k], &pool, &picky, &firings) {
            Some(held) => {
                waiting.retain(|i| !held.lots.contains(i));
                firings.push(held);
            }
            None => {
                for i in pool {
                    let (held, why) = alone(maker, &sorts[k], i);
                    if let Some(held) = held {
                        waiting.remove(&i);
                        firings.push(held);
                        break;
                    }
                    shut.insert((i, k));
                    let closed =
                        |s: usize| !sorts[s].suits(&maker.lots[i]) || shut.contains(&(i, s));
                    if (0..sorts.len()).all(closed) {
                        waiting.remove(&i);
                        stay.extend(told(maker, i, why));
                    }
                }
            }
        }
    }
    (firings, stay)
}

/// The sort of firing that is most pressing, with the ware that it may take.
fn next_pool(
    maker: &Maker<'_, '_>,
    sorts: &[Sort],
    waiting: &BTreeSet<usize>,
    shut: &BTreeSet<(usize, usize)>,
) -> Option<(usize, Vec<usize>)> {
    let pools = sorts.iter().enumerate().map(|(k, sort)| {
        let fits = |i: &&usize| sort.suits(&maker.lots[**i]) && !shut.contains(&(**i, k));
        (
            k,
            waiting.iter().filter(fits).copied().collect::<Vec<usize>>(),
        )
    });
    let due = |pool: &[usize]| pool.iter().filter_map(|i| maker.lots[*i].due).min();
    pools.filter(|(_, pool)| !pool.is_empty()).min_by(|a, b| {
        let (x, y) = (due(&a.1), due(&b.1));
        (x.is_none(), x)
            .cmp(&(y.is_none(), y))
            .then(maker.room_m3(&b.1).total_cmp(&maker.room_m3(&a.1)))
    })
}

/// The best firing of this ware over the kilns there are.
fn best(
    maker: &mut Maker<'_, '_>,
    sort: &Sort,
    pool: &[usize],
    picky: &BTreeSet<usize>,
    before: &[Held],
) -> Option<Held> {
    let mut best: Option<(Rank, Held)> = None;
    for kiln in maker.kilns(sort) {
        let hot = pressing(maker, pool, before, &kiln);
        let dear = |i: usize| {
            let press = if hot.contains(&i) { PRESSING } else { 1.0 };
            press * if picky.contains(&i) { PICKY } else { 1.0 }
        };
        let lots = enough(maker, pool, &dear, maker.chamber_m3(&kiln));
        let made = maker.make(&Try {
            sort: *sort,
            kiln: &kiln,
            lots: &lots,
            dear: &dear,
            furniture: None,
            rounds: ROUNDS,
            hope: 0.0,
        });
        let Some(held) = made.held else { continue };
        let rank = rank(maker, &hot, &held, before);
        if best.as_ref().is_none_or(|(r, _)| rank > *r) {
            best = Some((rank, held));
        }
    }
    best.map(|b| b.1)
}

/// Ware that would be late if it missed the next firing of a kiln.
pub fn pressing(
    maker: &Maker<'_, '_>,
    pool: &[usize],
    before: &[Held],
    kiln: &str,
) -> BTreeSet<usize> {
    let had = maker.next_but_one(before, kiln);
    let late = |i: &usize| {
        let due = maker.lots[*i].due;
        due.is_some_and(|d| had.is_none_or(|h| d <= h))
    };
    pool.iter().copied().filter(late).collect()
}

/// As much ware as is worth choosing from: what is dear first, the rest large and small alike.
pub fn enough(
    maker: &Maker<'_, '_>,
    pool: &[usize],
    dear: &dyn Fn(usize) -> f64,
    most_m3: f64,
) -> Vec<usize> {
    let room = |i: usize| maker.lots[i].room_m3;
    let mut order = pool.to_vec();
    order.sort_by(|a, b| room(*b).total_cmp(&room(*a)));
    let share = (most_m3 / maker.room_m3(pool).max(1e-9)).min(1.0);
    // Of each run of sizes the same share comes early.
    let early = |k: usize| (((k + 1) as f64 * share).floor() - (k as f64 * share).floor()) < 0.5;
    let mut ranked: Vec<(f64, bool, usize)> = order
        .into_iter()
        .enumerate()
        .map(|(k, i)| (-dear(i), early(k), i))
        .collect();
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut taken_m3 = 0.0;
    let within = ranked.into_iter().take_while(|(_, _, i)| {
        let before = taken_m3;
        taken_m3 += room(*i);
        before < most_m3
    });
    within.map(|r| r.2).collect()
}

/// Pressing ware in time and in litres; whether the kiln can do it; then what is aimed at.
type Rank = [i64; 4];

fn rank(maker: &Maker<'_, '_>, hot: &BTreeSet<usize>, held: &Held, before: &[Held]) -> Rank {
    let with: Vec<Held> = before.iter().chain([held]).cloned().collect();
    let slot = maker.timed(&with).and_then(|timed| {
        let own = timed.into_iter().find(|(i, _)| *i == before.len());
        own.map(|o| o.1)
    });
    let in_time = |i: &&usize| {
        let late = slot.as_ref().and_then(|s| maker.delay(**i, s));
        hot.contains(i) && late.is_none_or(|d| d <= 0)
    };
    let pressing: Vec<usize> = held.lots.iter().filter(in_time).copied().collect();
    let litres = |lots: &[usize]| (maker.room_m3(lots) * 1000.0).round() as i64;
    let (all, cents) = (litres(&held.lots), held.course.cost.to_cents());
    let [first, second] = match maker.ask.aim {
        Aim::Fewest => [all, -cents],
        Aim::Cheapest => [-(cents * 1000 / all.max(1)), all],
    };
    let fit = i64::from(held.course.fit) * 1_000_000;
    [fit + litres(&pressing), first, second, 0]
}

/// One lot by itself, in whichever kiln takes it.
fn alone(maker: &mut Maker<'_, '_>, sort: &Sort, lot: usize) -> (Option<Held>, Vec<LeftOut>) {
    let mut told = Vec::new();
    for kiln in maker.kilns(sort) {
        let Made { held, why, .. } = maker.make(&Try {
            sort: *sort,
            kiln: &kiln,
            lots: &[lot],
            dear: &|_| 1.0,
            furniture: None,
            rounds: 0,
            hope: 0.0,
        });
        if held.is_some() {
            return (held, Vec::new());
        }
        told.extend(why);
    }
    (None, told)
}

/// A word for each piece of a lot that no firing takes.
fn told(maker: &Maker<'_, '_>, lot: usize, why: Vec<LeftOut>) -> Vec<LeftOut> {
    let lot = &maker.lots[lot];
    let pieces = lot.pieces.iter().map(|p| {
        let said = why.iter().find(|w| w.piece == p.id).cloned();
        said.unwrap_or_else(|| {
            let cones: Vec<String> = lot.cones.iter().map(ToString::to_string).collect();
            LeftOut {
                piece: p.id.clone(),
                rule: "no-kiln".to_owned(),
                why: format!(
                    "no kiln that may be fired is rated to a cone that suits it ({}) and can be set up with shelves",
                    cones.join(", ")
                ),
                remedy: "Name a hotter kiln, or see that its shelves and short posts are in stock".to_owned(),
            }
        })
    });
    pieces.collect()
}
