//! The ware of whole tiers in each other's place, on full shelves; the posts between shelves go to the
//! tiers that need their height.

use std::collections::BTreeSet;

use glost_check::judge;
use glost_model::forecast::ZoneResult;
use glost_model::kiln::Kiln;
use glost_model::load::{CONE_PACK_HEIGHT, LoadPlan, Side, StandingPost, Tier};
use glost_model::{Angle, Length};
use glost_placing::PlanAsk;

use super::{NEARLY, may_rise, may_sink, reached, spread};

/// Turns of the ware of a tier that are tried where sensor or posts are in its way, degrees.
const TURNS: [f64; 4] = [0.0, 180.0, 120.0, 240.0];

/// The load with the ware of two tiers changed over that the judge accepts, those first that are
/// foreseen furthest apart.
pub fn next(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    load: &LoadPlan,
    zones: &[ZoneResult],
    tried: &mut BTreeSet<(usize, usize)>,
) -> Option<LoadPlan> {
    let n = load.tiers.len();
    let apart = |a: usize, b: usize| {
        let both = reached(zones, &load.tiers[a]).zip(reached(zones, &load.tiers[b]));
        both.map_or(0.0, |(a, b)| (a - b).abs())
    };
    let mut pairs: Vec<(usize, usize)> = (0..n)
        .flat_map(|a| (a + 1..n).map(move |b| (a, b)))
        .filter(|p| !tried.contains(p) && apart(p.0, p.1) >= NEARLY * spread(zones))
        .collect();
    pairs.sort_by(|a, b| apart(b.0, b.1).total_cmp(&apart(a.0, a.1)));
    for (low, high) in pairs {
        tried.insert((low, high));
        let all = |k: usize, may: &dyn Fn(&glost_model::piece::Piece) -> bool| {
            let ware = load.tiers[k].pieces.iter();
            ware.filter_map(|p| ask.studio.piece(&p.piece)).all(may)
        };
        if !all(low, &may_rise) || !all(high, &may_sink) {
            continue;
        }
        let found =
            changed_over(ask, kiln, load, low, high).and_then(|l| turned(ask, l, [low, high]));
        if found.is_some() {
            return found;
        }
    }
    None
}

/// The load with its two tiers turned until the judge accepts it.
fn turned(ask: &PlanAsk<'_>, mut load: LoadPlan, tiers: [usize; 2]) -> Option<LoadPlan> {
    let faults = |l: &LoadPlan| judge(ask.studio, ask.book, l).len();
    for k in tiers {
        // Only the tiers that took part can have faults, and most have none.
        let wrong = judge(ask.studio, ask.book, &load);
        let here = |b: &glost_check::Breach| b.tier.as_deref() == Some(&load.tiers[k].name);
        if !wrong.iter().any(here) {
            continue;
        }
        let trials = TURNS.map(|deg| {
            let mut l = load.clone();
            turn(&mut l.tiers[k], deg);
            l
        });
        load = trials.into_iter().min_by_key(faults)?;
    }
    (faults(&load) == 0).then_some(load)
}

/// Turns all that stands on a tier about the kiln's axis.
fn turn(tier: &mut Tier, deg: f64) {
    let (sin, cos) = deg.to_radians().sin_cos();
    let about = |x: Length, y: Length| (x * cos - y * sin, x * sin + y * cos);
    for p in &mut tier.pieces {
        (p.x_m, p.y_m) = about(p.x_m, p.y_m);
        let all = p.rotation_rad.to_rad() + deg.to_radians();
        p.rotation_rad = Angle::rad(all.rem_euclid(std::f64::consts::TAU));
    }
    for c in &mut tier.cone_packs {
        (c.x_m, c.y_m) = about(c.x_m, c.y_m);
    }
    // As in every plan: the far side first.
    if tier.pieces.iter().all(|p| p.on.is_none()) {
        tier.pieces
            .sort_by(|a, b| b.y_m.total_cmp(&a.y_m).then(a.x_m.total_cmp(&b.x_m)));
    }
}

/// Height of posts that stand on one another.
fn high(posts: &[StandingPost]) -> Length {
    let first = posts.first().map(|p| p.lengths_m.as_slice());
    let lengths = first.unwrap_or_default().iter().copied();
    lengths.fold(Length::ZERO, |a, b| a + b)
}

/// The load with the ware of two tiers changed over; not yet judged. `None` with halves in the stack.
fn changed_over(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    load: &LoadPlan,
    low: usize,
    up: usize,
) -> Option<LoadPlan> {
    let first = load.tiers.first()?;
    if load.tiers.iter().any(|t| t.side != Side::Full) {
        return None;
    }
    let mut tiers: Vec<&Tier> = load.tiers.iter().collect();
    tiers.swap(low, up);
    let need = |t: &Tier| {
        let top =
            |p: &glost_model::load::Placed| Some(p.raised_m + ask.studio.piece(&p.piece)?.height);
        let pack = if t.cone_packs.is_empty() {
            Length::ZERO
        } else {
            CONE_PACK_HEIGHT
        };
        t.pieces.iter().filter_map(top).fold(pack, Length::max)
    };
    let mut gaps: Vec<&[StandingPost]> = load
        .tiers
        .iter()
        .skip(1)
        .map(|t| t.posts.as_slice())
        .collect();
    gaps.sort_by(|a, b| high(a).total_cmp(&high(b)));
    let mut by_need: Vec<usize> = (0..gaps.len()).collect();
    by_need.sort_by(|a, b| need(tiers[*a]).total_cmp(&need(tiers[*b])));
    let mut over: Vec<&[StandingPost]> = vec![&[]; gaps.len()];
    for (k, gap) in by_need.into_iter().zip(gaps) {
        over[k] = gap;
    }
    let stock = |t: &Tier| {
        ask.studio
            .furniture
            .shelves
            .iter()
            .find(|s| s.name == t.shelf)
    };
    let mut out = load.clone();
    let mut under = first.top_m - stock(first)?.thickness;
    let mut base = Length::ZERO;
    for (k, from) in tiers.iter().enumerate() {
        let posts = if k == 0 { &first.posts } else { over[k - 1] };
        let top_m = under + stock(from)?.thickness;
        let clear_m = over.get(k).map_or(kiln.height - top_m, |p| high(p));
        let stands = |p: &StandingPost| StandingPost {
            base_m: base,
            ..p.clone()
        };
        out.tiers[k] = Tier {
            name: load.tiers[k].name.clone(),
            top_m,
            clear_m,
            posts: posts.iter().map(stands).collect(),
            ..(*from).clone()
        };
        (under, base) = (top_m + clear_m, top_m);
    }
    Some(out)
}
