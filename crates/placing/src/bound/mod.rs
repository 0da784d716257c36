//! A proof of how much any load could be worth.

mod cells;
mod levels;
mod oler;
mod pieces;
mod prices;
mod room;
mod rows;
mod search;
mod simplex;
mod table;

use glost_model::furniture::ShelfShape;
use glost_model::kiln::Kiln;
use glost_rules::value::{gap_wall, shelf_wall, witness_packs};

use crate::plan::PlanAsk;
use crate::ware::Ware;
use levels::Kit;
use pieces::{SLACK_M, Thing, least_gap_m, thing};
use prices::Programme;
use room::Room;
use rows::Limit;
use search::search;

/// How near the search comes to the least that the rows prove, and to what they would without proof.
const NEAR: f64 = 0.001;
const ROUGHLY: f64 = 0.008;

/// What a load can be worth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bound {
    /// Proved: no load is worth more.
    pub at_most: f64,
    /// Not proved: the same with shelves no fuller than the best that is known of mixed circles.
    pub typical_best: f64,
}

/// Bounds all loads of this ware.
pub fn bound(ask: &PlanAsk<'_>, kiln: &Kiln, ware: &[Ware<'_>]) -> Bound {
    let (mut proved, mut typical) = (0.0_f64, 0.0_f64);
    let packs = ask.book.count(&witness_packs::RULE);
    each_outline(ask, kiln, ware, &mut |kit, limits, things, groups| {
        let proof = Programme::new(kit, packs, limits.to_vec(), things, groups);
        proved = proved.max(search(&proof, NEAR).at_most);
        let mut limits = limits.to_vec();
        limits[0].room = limits[0].room.map(|r| r * rows::TYPICAL_FILL);
        let guess = Programme::new(kit, packs, limits, things, groups);
        typical = typical.max(search(&guess, ROUGHLY).best);
    });
    let at_most = sure(proved, ware);
    Bound {
        at_most,
        typical_best: sure(typical, ware).min(at_most),
    }
}

/// The proved part of [`bound`].
pub fn at_most(ask: &PlanAsk<'_>, kiln: &Kiln, ware: &[Ware<'_>]) -> f64 {
    let mut proved = 0.0_f64;
    let packs = ask.book.count(&witness_packs::RULE);
    each_outline(ask, kiln, ware, &mut |kit, limits, things, groups| {
        let proof = Programme::new(kit, packs, limits.to_vec(), things, groups);
        proved = proved.max(search(&proof, NEAR).at_most);
    });
    sure(proved, ware)
}

/// No load is worth more than all ware; rounding is on the load's side.
fn sure(value: f64, ware: &[Ware<'_>]) -> f64 {
    let all: f64 = ware.iter().map(|w| w.value).sum();
    value.min(all) + 1e-6 * all
}

type Tell<'t> = dyn FnMut(&Kit, &[Limit], &[Thing], &[Option<&str>]) + 't;

/// Works out the rows for each outline of shelves that fits the chamber.
fn each_outline(ask: &PlanAsk<'_>, kiln: &Kiln, ware: &[Ware<'_>], tell: &mut Tell<'_>) {
    let gap_m = least_gap_m(ware);
    let things: Vec<Thing> = ware.iter().map(|w| thing(ask, w, gap_m)).collect();
    if things.is_empty() {
        return;
    }
    let groups: Vec<Option<&str>> = ware.iter().map(|w| w.piece.group.as_deref()).collect();
    let mut shapes: Vec<ShelfShape> = Vec::new();
    for s in &ask.studio.furniture.shelves {
        if !shapes.contains(&s.shape) {
            shapes.push(s.shape);
        }
    }
    let gap = |rule| ask.book.length(rule).to_m();
    for shape in &shapes {
        let room = Room::full(shape, &kiln.chamber, gap(&gap_wall::RULE));
        if !room.fits(gap(&shelf_wall::RULE), SLACK_M) {
            continue;
        }
        let Some(kit) = Kit::new(ask, kiln, shape, &room, &things) else {
            continue;
        };
        let limits = rows::limits(ask, &room, &kit, &things, gap_m);
        if !limits.is_empty() {
            tell(&kit, &limits, &things, &groups);
        }
    }
}

#[cfg(test)]
mod tests;
