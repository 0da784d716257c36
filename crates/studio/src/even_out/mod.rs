//! Even a load out: ware changes places between tiers while the kiln model foresees that all tiers
//! then get more nearly the same heat-work. What to try is guessed from the last forecast; what stays
//! is what the whole model and the judge both pass.

mod reorder;
mod swap;

use std::collections::BTreeSet;

use glost_heat::firing::zones_of;
use glost_model::forecast::ZoneResult;
use glost_model::load::{LoadPlan, Tier};
use glost_model::piece::{Delicacy, Piece};
use glost_placing::PlanAsk;

/// Firings simulated at most for whole tiers, and for single pieces.
const TIERS: usize = 12;
const PIECES: usize = 8;
/// A change that wins less is not worth the loader's looking twice, cones.
const WINS: f64 = 0.005;
/// Tiers nearer to each other than this share of the spread change no ware.
const NEARLY: f64 = 0.4;
/// Ware heavier than this does not go up, kg: heavy ware stands low. Common practice; figure proposed here.
const HEAVY_KG: f64 = 1.5;

/// A load, and how far apart its zones are foreseen to be before and after, in cones.
#[derive(Debug, Clone, PartialEq)]
pub struct Evened {
    /// The load.
    pub load: LoadPlan,
    /// Hottest less coolest zone as the load was planned.
    pub before: f64,
    /// The same of this load.
    pub after: f64,
}

/// The best so far with the zones that are foreseen.
struct Best<'e> {
    foresee: &'e dyn Fn(&LoadPlan) -> Option<Vec<ZoneResult>>,
    load: LoadPlan,
    zones: Vec<ZoneResult>,
}

impl Best<'_> {
    /// Keeps a load if it is foreseen to be more even.
    fn keep_if_better(&mut self, trial: LoadPlan) -> bool {
        let told = (self.foresee)(&trial).unwrap_or_default();
        let better = !told.is_empty() && spread(&told) < spread(&self.zones) - WINS;
        if better {
            (self.load, self.zones) = (trial, told);
        }
        better
    }
}

/// Evens a load out, its worth unchanged. `None` when the kiln model can say nothing about it.
pub fn even_out(ask: &PlanAsk<'_>, load: &LoadPlan) -> Option<Evened> {
    let kiln = ask.studio.kiln(&load.kiln)?;
    let foresee = |load: &LoadPlan| zones_of(ask.studio, kiln, load).ok();
    let zones = foresee(load).filter(|z| !z.is_empty())?;
    let before = spread(&zones);
    let mut best = Best {
        foresee: &foresee,
        load: load.clone(),
        zones,
    };
    let mut left = TIERS;
    let mut tried = BTreeSet::new();
    while left > 0
        && let Some(trial) = reorder::next(ask, kiln, &best.load, &best.zones, &mut tried)
    {
        left -= 1;
        if best.keep_if_better(trial) {
            tried.clear();
        }
    }
    let mut vain = BTreeSet::new();
    for _ in 0..PIECES {
        let Some((pair, trial)) = swap::next(ask, &best.load, &best.zones, &mut vain) else {
            break;
        };
        if !best.keep_if_better(trial) {
            vain.insert(pair);
        }
    }
    let after = spread(&best.zones);
    Some(Evened {
        load: best.load,
        before,
        after,
    })
}

/// Hottest less coolest zone, in cones.
fn spread(zones: &[ZoneResult]) -> f64 {
    let all = || zones.iter().map(|z| z.cone_position);
    all().fold(f64::NEG_INFINITY, f64::max) - all().fold(f64::INFINITY, f64::min)
}

/// The cone that a tier gets.
fn reached(zones: &[ZoneResult], t: &Tier) -> Option<f64> {
    let mine = |z: &&ZoneResult| z.tiers.split(", ").any(|n| n == t.name);
    zones.iter().find(mine).map(|z| z.cone_position)
}

/// Whether a piece may stand higher than it does.
fn may_rise(p: &Piece) -> bool {
    p.mass.to_kg() < HEAVY_KG
}

/// Whether a piece may stand lower than it does.
fn may_sink(p: &Piece) -> bool {
    p.delicacy != Delicacy::Delicate
}
