//! Puts ware on the shelves of a stack and improves the load round by round.

use glost_model::Length;
use glost_model::kiln::Kiln;
use glost_model::load::{CONE_PACK_HEIGHT, CONE_PACK_RADIUS, LeftOut, LoadPlan, Worth};
use glost_rules::value::{gap_pack, gap_post, gap_runny, gap_sensor, gap_wall, tip_margin};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::RESERVE_M;
use crate::engine::{Body, Obstacle, Pose, Room, Wall, place};
use crate::plan::PlanAsk;
use crate::region::{Measure, Region};
use crate::skeleton::{Level, Skeleton};
use crate::stand::inside;
use crate::ware::{Ware, by_worth, delicate, waits_for_set};
use crate::write::{no_room, without_idle, write};

/// Stacks that are filled for real before the best is improved.
pub const STACKS_TRIED: usize = 4;
/// Waiting pieces that get a second look when a stack has been filled; the rounds look at all.
const SECOND_LOOK: usize = 150;
/// A shelf fuller than this (grown areas over its own) is not tried: it almost never fits.
const FULLEST: f64 = 0.85;

/// A shelf of a stack with its ware.
pub struct Shelf<'s, 'a> {
    /// Where it lies.
    pub level: &'s Level<'a>,
    /// Where ware may stand on it.
    pub room: Room,
    measure: Measure,
    /// Middles of packs of witness cones, m.
    pub packs: Vec<[f64; 2]>,
    tip_m: f64,
    /// Numbers of the ware on it, with their places.
    pub on: Vec<(usize, Pose)>,
}

impl Shelf<'_, '_> {
    /// Whether a piece is low enough for it.
    pub fn may_hold(&self, w: &Ware<'_>) -> bool {
        w.body.top_m * 1000.0 + self.level.head_mm <= self.level.clear_mm - 0.05
    }
}

/// Fills the stacks, keeps the best, improves it and writes it down.
pub fn assemble(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    ware: &[Ware<'_>],
    mut left_out: Vec<LeftOut>,
    stacks: &[Skeleton<'_>],
    at_most: f64,
    watch: &mut dyn FnMut(f64, f64) -> bool,
) -> LoadPlan {
    let mut rng = ChaCha8Rng::seed_from_u64(ask.seed);
    let mut best: Option<(f64, Vec<Shelf<'_, '_>>)> = None;
    let mut go_on = true;
    for (i, s) in stacks.iter().enumerate() {
        let mut shelves = empty(ask, kiln, s);
        fill(ware, &mut shelves, &mut rng);
        let value = worth(ware, &shelves);
        if best.as_ref().is_none_or(|b| value > b.0) {
            best = Some((value, shelves));
        }
        let done = 0.2 * (i + 1) as f64 / stacks.len() as f64;
        go_on = watch(done, best.as_ref().map_or(0.0, |b| b.0));
        if !go_on {
            break;
        }
    }
    let mut shelves = best.map_or_else(Vec::new, |b| b.1);
    for round in 0..ask.rounds {
        if !go_on {
            break;
        }
        improve(ware, &mut shelves, &mut rng);
        go_on = watch(
            0.2 + 0.8 * f64::from(round + 1) / f64::from(ask.rounds),
            worth(ware, &shelves),
        );
    }
    part_broken_sets(ware, &mut shelves, &mut left_out);
    no_room(ask, kiln, ware, &shelves, &mut left_out);
    left_out.sort_by(|a, b| a.piece.cmp(&b.piece));
    LoadPlan {
        kiln: kiln.name.clone(),
        cone: ask.cone,
        kind: ask.kind,
        seed: ask.seed,
        worth: Worth {
            value: worth(ware, &shelves),
            at_most,
        },
        tiers: without_idle(ask, kiln, write(ware, &shelves)),
        left_out,
    }
}

fn worth(ware: &[Ware<'_>], shelves: &[Shelf<'_, '_>]) -> f64 {
    shelves
        .iter()
        .flat_map(|s| &s.on)
        .map(|(i, _)| ware[*i].value)
        .fold(0.0, |a, b| a + b)
}

fn empty<'s, 'a>(ask: &PlanAsk<'_>, kiln: &Kiln, stack: &'s Skeleton<'a>) -> Vec<Shelf<'s, 'a>> {
    let levels = &stack.levels;
    let middle = kiln.height.to_mm() / 2.0;
    // Witness cones on the bottom, middle and top shelf at least.
    let near_middle = (0..levels.len()).min_by(|&a, &b| {
        (levels[a].top_mm - middle)
            .abs()
            .total_cmp(&(levels[b].top_mm - middle).abs())
    });
    levels
        .iter()
        .enumerate()
        .map(|(i, level)| {
            let wants_pack = i == 0 || i + 1 == levels.len() || Some(i) == near_middle;
            shelf(ask, kiln, level, wants_pack)
        })
        .collect()
}

fn shelf<'s, 'a>(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    level: &'s Level<'a>,
    wants_pack: bool,
) -> Shelf<'s, 'a> {
    let len = |rule| ask.book.length(rule).to_m();
    let post_r = ask.studio.furniture.post_section.to_m() * std::f64::consts::FRAC_1_SQRT_2;
    let always = f64::NEG_INFINITY;
    let mut obstacles: Vec<Obstacle> = level
        .carries
        .iter()
        .map(|&at| Obstacle {
            at,
            solid_m: post_r,
            keep_m: post_r + len(&gap_post::RULE) + RESERVE_M,
            from_m: always,
        })
        .collect();
    obstacles.extend(sensor(ask, kiln, level));
    let region = Region::shelf(&level.shelf.shape, level.side);
    let mut packs = Vec::new();
    if wants_pack && level.clear_mm > CONE_PACK_HEIGHT.to_mm() {
        let bearing = kiln
            .peepholes
            .iter()
            .min_by(|a, b| {
                let off = |h: Length| (h.to_mm() - level.top_mm - level.clear_mm / 2.0).abs();
                off(a.height).total_cmp(&off(b.height))
            })
            .map_or(0.0, |p| p.angle.to_rad());
        if let Some(at) = pack_place(&region, level, bearing, post_r) {
            packs.push(at);
            obstacles.push(Obstacle {
                at,
                solid_m: CONE_PACK_RADIUS.to_m(),
                keep_m: CONE_PACK_RADIUS.to_m() + len(&gap_pack::RULE) + RESERVE_M,
                from_m: always,
            });
        }
    }
    // Half shelves keep half the widest gap off their joint, so that ware of the other column,
    // which may stand beside it, needs no looking at.
    let joint = len(&gap_runny::RULE) / 2.0 + RESERVE_M;
    let chamber =
        Region::chamber(&kiln.chamber).cut(level.side, joint - len(&gap_wall::RULE) - RESERVE_M);
    let room = Room {
        walls: vec![
            Wall {
                region: region.clone(),
                keep_m: RESERVE_M,
            },
            Wall {
                region: chamber,
                keep_m: len(&gap_wall::RULE) + RESERVE_M,
            },
        ],
        obstacles,
    };
    Shelf {
        level,
        room,
        measure: region.measure(),
        packs,
        tip_m: len(&tip_margin::RULE) + 0.003,
        on: Vec::new(),
    }
}

/// The sensor as a row of discs, met by ware that reaches up to it.
fn sensor(ask: &PlanAsk<'_>, kiln: &Kiln, level: &Level<'_>) -> Vec<Obstacle> {
    let keep = ask.book.length(&gap_sensor::RULE).to_m() + RESERVE_M;
    let above_m = kiln.sensor.height.to_m() - level.top_mm / 1000.0;
    if above_m + keep < 0.0 || above_m - keep > level.clear_mm / 1000.0 {
        return Vec::new();
    }
    let (sin, cos) = kiln.sensor.angle.to_rad().sin_cos();
    let wall = Region::chamber(&kiln.chamber).reach([0.0, 0.0], [cos, sin], 0.0);
    let steps = (kiln.sensor.reach.to_m() / 0.005).ceil().max(1.0) as usize;
    (0..=steps)
        .map(|i| {
            let d = wall - kiln.sensor.reach.to_m() * i as f64 / steps as f64;
            // A row of discs 5 mm apart dips by less than 0.1 mm between two of them.
            Obstacle {
                at: [d * cos, d * sin],
                solid_m: 0.0,
                keep_m: keep + 0.000_1,
                from_m: above_m - keep,
            }
        })
        .collect()
}

/// A place for witness cones near the edge, as close to the peephole's bearing as posts allow.
fn pack_place(region: &Region, level: &Level<'_>, bearing: f64, post_r: f64) -> Option<[f64; 2]> {
    let r = CONE_PACK_RADIUS.to_m() + RESERVE_M;
    let mut turns: Vec<f64> = (-35..=36)
        .map(|i| f64::from(i) * 5f64.to_radians())
        .collect();
    turns.sort_by(|a, b| a.abs().total_cmp(&b.abs()));
    turns.into_iter().find_map(|t| {
        let (sin, cos) = (bearing + t).sin_cos();
        (0..8).find_map(|step| {
            let d = region.reach([0.0, 0.0], [cos, sin], r) - f64::from(step) * 0.02;
            let at = [d * cos, d * sin];
            let ok = d > 0.0
                && region.excess(at, r).0 <= 0.0
                && level
                    .carries
                    .iter()
                    .all(|p| (p[0] - at[0]).hypot(p[1] - at[1]) > r + post_r + 0.003);
            ok.then_some(at)
        })
    })
}

/// Whether a piece suffers all the others on its tier.
fn company(ware: &[Ware<'_>], i: usize, mut others: impl Iterator<Item = usize>) -> bool {
    let shuns = &ware[i].shuns;
    shuns.is_empty() || others.all(|k| !shuns.contains(&k))
}

/// Finds places for exactly these pieces on one shelf.
fn realise(
    s: &Shelf<'_, '_>,
    ware: &[Ware<'_>],
    ids: &[(usize, Option<Pose>)],
    tries: usize,
    rng: &mut ChaCha8Rng,
) -> Option<Vec<(usize, Pose)>> {
    if !ids
        .iter()
        .all(|(i, _)| company(ware, *i, ids.iter().map(|(k, _)| *k)))
    {
        return None;
    }
    let area: f64 = ids.iter().map(|(i, _)| ware[*i].area_m2).sum();
    let mass: f64 = ids.iter().map(|(i, _)| ware[*i].piece.mass.to_kg()).sum();
    if area > FULLEST * s.measure.area_m2 || mass > s.level.shelf.load_limit.to_kg() {
        return None;
    }
    let bodies: Vec<&Body> = ids.iter().map(|(i, _)| &ware[*i].body).collect();
    let start: Vec<Option<Pose>> = ids.iter().map(|(_, p)| *p).collect();
    let mut poses = place(&s.room, &bodies, &start, tries, rng)?;
    for p in &mut poses {
        for v in &mut p[..2] {
            *v = (*v * 10_000.0).round() / 10_000.0;
        }
    }
    steady(s, ware, ids, &poses).then(|| ids.iter().map(|(i, _)| *i).zip(poses).collect())
}

/// The centre of mass of shelf and ware lies well inside the posts.
fn steady(
    s: &Shelf<'_, '_>,
    ware: &[Ware<'_>],
    ids: &[(usize, Option<Pose>)],
    poses: &[Pose],
) -> bool {
    let own = s.level.shelf.mass.to_kg();
    let (mut m, mut x, mut y) = (own, own * s.measure.centroid_x_m, 0.0);
    for ((i, _), p) in ids.iter().zip(poses) {
        let kg = ware[*i].piece.mass.to_kg();
        m += kg;
        x += kg * p[0];
        y += kg * p[1];
    }
    let posts: Vec<[f64; 2]> = s.level.posts.iter().map(|p| p.at).collect();
    m <= 0.0 || inside(&posts, [x / m, y / m]) > s.tip_m
}

/// Deals ware out by area, then finds real places, then tries to add what is still out.
fn fill(ware: &[Ware<'_>], shelves: &mut [Shelf<'_, '_>], rng: &mut ChaCha8Rng) {
    let mut order: Vec<usize> = (0..ware.len()).collect();
    order.sort_by(|&a, &b| by_worth(&ware[a], &ware[b]));
    let mut dealt: Vec<Vec<usize>> = vec![Vec::new(); shelves.len()];
    let mut used = vec![0.0; shelves.len()];
    for i in order {
        let w = &ware[i];
        let heavy = w.piece.mass.to_kg() > 1.5;
        let fit = (0..shelves.len())
            .filter(|&k| {
                shelves[k].may_hold(w)
                    && company(ware, i, dealt[k].iter().copied())
                    && used[k] + w.area_m2 <= 0.71 * shelves[k].measure.area_m2
            })
            .min_by(|&a, &b| {
                let waste = |k: usize| shelves[k].level.clear_mm - w.body.top_m * 1000.0;
                // Near equal rooms: heavy ware low, delicate ware high.
                let rank = |k: usize| {
                    let z = shelves[k].level.top_mm;
                    (waste(k) / 30.0).floor() * 1e4
                        + if heavy {
                            z
                        } else if delicate(w) {
                            -z
                        } else {
                            0.0
                        }
                };
                rank(a).total_cmp(&rank(b))
            });
        if let Some(k) = fit {
            used[k] += w.area_m2;
            dealt[k].push(i);
        }
    }
    for (s, mut ids) in shelves.iter_mut().zip(dealt) {
        loop {
            let asked: Vec<(usize, Option<Pose>)> = ids.iter().map(|&i| (i, None)).collect();
            if let Some(on) = realise(s, ware, &asked, 8, rng) {
                s.on = on;
                break;
            }
            // Dealt by worth per area: the last is the least loss.
            ids.pop();
        }
    }
    let mut out = outside(ware, shelves);
    out.sort_by(|&a, &b| ware[b].value.total_cmp(&ware[a].value));
    for i in out.into_iter().take(SECOND_LOOK) {
        for s in shelves.iter_mut() {
            if s.may_hold(&ware[i]) && add(s, ware, i, &[], 2, rng) {
                break;
            }
        }
    }
}

pub fn outside(ware: &[Ware<'_>], shelves: &[Shelf<'_, '_>]) -> Vec<usize> {
    let mut is_in = vec![false; ware.len()];
    for (i, _) in shelves.iter().flat_map(|s| &s.on) {
        is_in[*i] = true;
    }
    (0..ware.len()).filter(|&i| !is_in[i]).collect()
}

/// Adds piece `i`, taking out those of `instead`; keeps the shelf as it was when that fails.
fn add(
    s: &mut Shelf<'_, '_>,
    ware: &[Ware<'_>],
    i: usize,
    instead: &[usize],
    tries: usize,
    rng: &mut ChaCha8Rng,
) -> bool {
    let stay = s.on.iter().filter(|(k, _)| !instead.contains(k));
    let mut ids: Vec<(usize, Option<Pose>)> = stay.map(|(k, p)| (*k, Some(*p))).collect();
    ids.push((i, None));
    realise(s, ware, &ids, tries, rng)
        .map(|on| s.on = on)
        .is_some()
}

/// One round: put a waiting piece in, in a free place, or instead of neighbours worth less that
/// then look for room elsewhere.
fn improve(ware: &[Ware<'_>], shelves: &mut [Shelf<'_, '_>], rng: &mut ChaCha8Rng) {
    let out = outside(ware, shelves);
    if out.is_empty() || shelves.is_empty() {
        return;
    }
    let i = out[rng.random_range(0..out.len())];
    let k = rng.random_range(0..shelves.len());
    if !shelves[k].may_hold(&ware[i]) || add(&mut shelves[k], ware, i, &[], 2, rng) {
        return;
    }
    let victims = worth_less_nearby(ware, &shelves[k], i, rng);
    if victims.is_empty() || !add(&mut shelves[k], ware, i, &victims, 3, rng) {
        return;
    }
    for v in victims {
        for s in shelves.iter_mut() {
            if s.may_hold(&ware[v]) && add(s, ware, v, &[], 2, rng) {
                break;
            }
        }
    }
}

/// Pieces about a random place that together are worth less than piece `i` and cover its area.
fn worth_less_nearby(
    ware: &[Ware<'_>],
    s: &Shelf<'_, '_>,
    i: usize,
    rng: &mut ChaCha8Rng,
) -> Vec<usize> {
    if s.on.is_empty() {
        return Vec::new();
    }
    let at = s.on[rng.random_range(0..s.on.len())].1;
    let mut near: Vec<(f64, usize)> =
        s.on.iter()
            .map(|(k, p)| ((p[0] - at[0]).hypot(p[1] - at[1]), *k))
            .collect();
    near.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut value, mut area, mut victims) = (0.0, 0.0, Vec::new());
    for (_, k) in near {
        if value + ware[k].value < ware[i].value {
            value += ware[k].value;
            area += ware[k].area_m2;
            victims.push(k);
            // A random share of the area: sometimes slack lets it in for less.
            if area >= ware[i].area_m2 * rng.random_range(0.4..1.2) {
                return victims;
            }
        }
    }
    victims
}

/// Takes out sets that are not whole.
fn part_broken_sets(ware: &[Ware<'_>], shelves: &mut [Shelf<'_, '_>], left_out: &mut Vec<LeftOut>) {
    for i in outside(ware, shelves) {
        let Some(group) = ware[i].piece.group.as_ref() else {
            continue;
        };
        for s in shelves.iter_mut() {
            s.on.retain(|(k, _)| {
                let keep = ware[*k].piece.group.as_ref() != Some(group);
                if !keep {
                    left_out.push(waits_for_set(ware[*k].piece, &ware[i].piece.id));
                }
                keep
            });
        }
    }
}
