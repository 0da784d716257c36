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
use glost_rules::value::{gap_wall, shelf_wall};

use crate::plan::PlanAsk;
use crate::ware::Ware;
use levels::Kit;
use pieces::{SLACK_M, Thing, least_gap_m, thing};
use prices::Programme;
use room::Room;
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
    let all: f64 = ware.iter().map(|w| w.value).sum();
    let gap_m = least_gap_m(ware);
    let things: Vec<Thing> = ware.iter().map(|w| thing(ask, w, gap_m)).collect();
    if things.is_empty() {
        return Bound {
            at_most: 0.0,
            typical_best: 0.0,
        };
    }
    let groups: Vec<Option<&str>> = ware.iter().map(|w| w.piece.group.as_deref()).collect();
    let mut shapes: Vec<ShelfShape> = Vec::new();
    for s in &ask.studio.furniture.shelves {
        if !shapes.contains(&s.shape) {
            shapes.push(s.shape);
        }
    }
    let gap = |rule| ask.book.length(rule).to_m();
    let (mut at_most, mut typical_best) = (0.0_f64, 0.0_f64);
    for shape in &shapes {
        let room = Room::full(shape, &kiln.chamber, gap(&gap_wall::RULE));
        if !room.fits(gap(&shelf_wall::RULE), SLACK_M) {
            continue;
        }
        let Some(kit) = Kit::new(ask, kiln, shape, &room, &things) else {
            continue;
        };
        let mut limits = rows::limits(ask, &room, &kit, &things, gap_m);
        let Some(area) = limits
            .first()
            .map(|l| l.room.map(|r| r * rows::TYPICAL_FILL))
        else {
            continue;
        };
        let proof = Programme::new(&kit, limits.clone(), &things, &groups);
        at_most = at_most.max(search(&proof, NEAR).at_most);
        limits[0].room = area;
        let guess = Programme::new(&kit, limits, &things, &groups);
        typical_best = typical_best.max(search(&guess, ROUGHLY).best);
    }
    let sure = |v: f64| v.min(all) + 1e-6 * all;
    Bound {
        at_most: sure(at_most),
        typical_best: sure(typical_best).min(sure(at_most)),
    }
}

/// The proved part of [`bound`].
pub fn at_most(ask: &PlanAsk<'_>, kiln: &Kiln, ware: &[Ware<'_>]) -> f64 {
    bound(ask, kiln, ware).at_most
}
