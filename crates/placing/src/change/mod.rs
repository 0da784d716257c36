//! Changes a load plan at the kiln: what was said is done, and all else stays where it is as far
//! as it can.

mod asked;
mod give_way;
mod loosen;
mod outcome;
mod seats;
mod stack;
mod what_if;

use std::collections::BTreeMap;

use glost_model::kiln::Kiln;
use glost_model::load::{LeftOut, LoadPlan};
use glost_model::piece::PieceId;
use glost_rules::{Level, mix};

use crate::assemble::{Sets, Task, with_packs};
use crate::bound;
use crate::pile::{as_planned, loosened};
use crate::plan::PlanAsk;
use crate::skeleton::Skeleton;
use crate::ware::{Settled, sort_out_after};
use asked::Asked;
pub use asked::{Change, ChangeError};
pub use outcome::{Changed, Moved, Step};
use seats::Seats;
pub use stack::levels;
pub use what_if::what_if;

/// The rule that a piece breaks which is not there; it stays out when the plan is changed again.
const NOT_HERE: &str = "not-here";

/// Changes a plan as told, with as few other changes as it can: first the places that are free, then
/// neighbours that shift, then the ware worth least that makes way. `watch` hears the share done (0
/// to 1) and the value so far; when it answers false no more waiting ware is let in.
///
/// Shelves and posts stay as they are, but for those that end up with nothing on or above them.
/// The same plan, change and seed give the same answer.
///
/// # Errors
/// See [`ChangeError`]. Nothing is changed then.
pub fn replan(
    ask: &PlanAsk<'_>,
    from: &LoadPlan,
    change: &Change,
    watch: &mut dyn FnMut(f64, f64) -> bool,
) -> Result<Changed, ChangeError> {
    changed(ask, from, change, true, watch)
}

/// The same with the proof of worth that the plan has: for changes that let the same ware go.
///
/// # Errors
/// As [`replan`].
pub fn replan_unproved(
    ask: &PlanAsk<'_>,
    from: &LoadPlan,
    change: &Change,
) -> Result<Changed, ChangeError> {
    changed(ask, from, change, false, &mut |_, _| true)
}

fn changed(
    ask: &PlanAsk<'_>,
    from: &LoadPlan,
    change: &Change,
    proved: bool,
    watch: &mut dyn FnMut(f64, f64) -> bool,
) -> Result<Changed, ChangeError> {
    let asked = Asked::of(ask, from, change)?;
    taken_up(ask, from, &asked, |kiln, seats, mut left_out, at_most| {
        if let Some(l) = left_out.iter().find(|l| asked.wants_in(&l.piece)) {
            return Err(ChangeError::MayNotGo {
                piece: l.piece.clone(),
                why: l.why.clone(),
            });
        }
        give_way::carry_out(ask, from, &asked, seats)?;
        if watch(0.5, seats.value()) && change.fill {
            fill(seats, watch);
        }
        left_out.retain(|l| !seats.is_in(&l.piece));
        Ok(outcome::write_down(
            ask,
            kiln,
            from,
            &asked,
            seats,
            left_out,
            if proved {
                at_most()
            } else {
                from.worth.at_most
            },
        ))
    })
}

/// Lets waiting ware in, what is urgent and worth most for its room first.
fn fill(seats: &mut Seats<'_, '_, '_>, watch: &mut dyn FnMut(f64, f64) -> bool) {
    let sets = seats.task.sets;
    let mut out = seats.waiting();
    let of = out.len().max(1) as f64;
    out.sort_by(|&a, &b| {
        let dense = |s: usize| sets.value[s] / sets.area_m2[s];
        let urgent = sets.urgent[b].cmp(&sets.urgent[a]);
        urgent.then_with(|| dense(b).total_cmp(&dense(a)))
    });
    for (n, set) in out.into_iter().enumerate() {
        seats.let_in(set);
        if !watch(0.5 + 0.5 * (n + 1) as f64 / of, seats.value()) {
            break;
        }
    }
}

/// Takes a plan up again: its own stack with its ware in its places, and what may not go at all.
fn taken_up<R>(
    ask: &PlanAsk<'_>,
    from: &LoadPlan,
    asked: &Asked,
    work: impl FnOnce(
        &Kiln,
        &mut Seats<'_, '_, '_>,
        Vec<LeftOut>,
        &dyn Fn() -> f64,
    ) -> Result<R, ChangeError>,
) -> Result<R, ChangeError> {
    let kiln = ask
        .studio
        .kiln(&from.kiln)
        .ok_or_else(|| ChangeError::NoKiln(from.kiln.clone()))?;
    let (single, left_out) = sort_out_after(ask, settled(ask, from, asked));
    let ware = as_planned(single.clone(), from, &|id| asked.goes_alone(id));
    let stack = Skeleton {
        levels: levels(ask, kiln, from)?,
        estimate: 0.0,
    };
    let packs = from.tiers.iter().map(|t| {
        let packs = t.cone_packs.iter();
        packs.map(|p| [p.x_m.to_m(), p.y_m.to_m()]).collect()
    });
    let shelves: Vec<_> = stack
        .levels
        .iter()
        .zip(packs)
        .map(|(level, packs)| with_packs(ask, kiln, level, packs))
        .collect();
    let task = Task {
        ware: &ware,
        sets: &Sets::of(&ware),
        shelves: &shelves,
    };
    let mut seats = Seats::of(ask, &task, from, asked);
    let at_most = || bound::at_most(ask, kiln, &loosened(ask, &single));
    work(kiln, &mut seats, left_out, &at_most)
}

/// What is settled before any place is looked for: what is not there stays out, what goes keeps its
/// supports, and what may not share a firing with ware that goes stays out.
fn settled<'p>(ask: &PlanAsk<'_>, from: &'p LoadPlan, asked: &Asked) -> Settled<'p> {
    let said = |piece: &PieceId| LeftOut {
        piece: piece.clone(),
        rule: NOT_HERE.to_owned(),
        why: "said not to be here, or not to fit".to_owned(),
        remedy: "Bring it to the next firing".to_owned(),
    };
    let mut out: Vec<LeftOut> = asked.absent.iter().map(said).collect();
    let goes = |id: &str| from.placed().any(|(_, p)| p.piece == id);
    let glazes = |id: &str| {
        let names = ask.studio.piece(id).map(|p| p.glazes.as_slice());
        let known = names
            .unwrap_or_default()
            .iter()
            .filter_map(|g| ask.studio.glaze(g));
        known.collect::<Vec<_>>()
    };
    let inside: Vec<_> = from
        .placed()
        .filter(|(_, p)| !asked.absent.contains(&p.piece))
        .flat_map(|(_, p)| glazes(&p.piece))
        .collect();
    for piece in &ask.studio.pieces {
        if goes(&piece.id) || asked.absent.contains(&piece.id) {
            continue;
        }
        let clash = glazes(&piece.id).into_iter().find_map(|mine| {
            let found = inside.iter().flat_map(|other| mix::findings(mine, other));
            found.into_iter().find(|f| f.level == Level::Block)
        });
        if let Some(no) = clash {
            out.push(LeftOut {
                piece: piece.id.clone(),
                rule: no.rule.to_owned(),
                why: no.why.clone(),
                remedy: no.remedy.clone(),
            });
        }
    }
    let supports: BTreeMap<&str, &[String]> = from
        .placed()
        .filter(|(_, p)| !asked.absent.contains(&p.piece))
        .map(|(_, p)| (p.piece.as_str(), p.supports.as_slice()))
        .collect();
    Settled { out, supports }
}
