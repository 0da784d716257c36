//! Does what was said: ware goes to its new tier, and what is in its way shifts, moves or goes out.

use glost_model::Length;
use glost_model::load::LoadPlan;

use super::asked::{Asked, ChangeError};
use super::loosen::loosen;
use super::seats::{Seats, Tierful};
use crate::engine::Pose;
use crate::plan::PlanAsk;
use crate::write::alone;

/// Ware of the least worth that is tried alone for making way.
const TRIED_ALONE: usize = 16;

/// A piece on its way to a tier.
struct Errand {
    i: usize,
    k: usize,
    at: Option<Pose>,
}

/// Carries out everything but letting waiting ware in.
pub fn carry_out(
    ask: &PlanAsk<'_>,
    from: &LoadPlan,
    asked: &Asked,
    seats: &mut Seats<'_, '_, '_>,
) -> Result<(), ChangeError> {
    settle_loose(from, asked, seats);
    part_broken(seats);
    let errands = errands(asked, seats);
    for e in &errands {
        can(ask, from, seats, e)?;
    }
    let barred: Vec<usize> = (0..seats.task.ware.len())
        .filter(|&i| seats.tier_of(i).is_some_and(|k| seats.is_barred(i, k)))
        .filter(|i| errands.iter().all(|e| e.i != *i))
        .collect();
    for i in errands.iter().map(|e| e.i).chain(barred.iter().copied()) {
        seats.lift(i);
    }
    for e in &errands {
        run(from, seats, e)?;
    }
    loosen(asked, seats);
    for i in barred {
        if !seats.house(i) {
            let id = &seats.task.ware[i].piece.id;
            if seats.bound(i) {
                return Err(ChangeError::MayNotGo {
                    piece: id.clone(),
                    why: "no tier that it may stand on has room, and its set must stay".to_owned(),
                });
            }
            let why = "no tier that it may stand on has room".to_owned();
            drop_out(seats, i, &why);
        }
    }
    balance(from, seats, asked.steady)
}

/// What stood on a piece that is not there finds another place, or goes out.
fn settle_loose(from: &LoadPlan, asked: &Asked, seats: &mut Seats<'_, '_, '_>) {
    for (_, p) in from.placed() {
        let Some(i) = seats.number(&p.piece) else {
            continue;
        };
        if seats.tier_of(i).is_none() && !asked.goes_alone(&p.piece) && !seats.house(i) {
            drop_out(
                seats,
                i,
                "what it stood on is not here, and no tier has room",
            );
        }
    }
}

/// A set of which a piece is gone goes out as a whole.
fn part_broken(seats: &mut Seats<'_, '_, '_>) {
    for members in &seats.task.sets.members {
        if members.iter().any(|i| seats.tier_of(*i).is_none()) {
            for i in members {
                seats.lift(*i);
            }
        }
    }
}

/// Sends a piece out with all of its set, and keeps why.
pub fn drop_out(seats: &mut Seats<'_, '_, '_>, i: usize, why: &str) {
    for &j in &seats.task.sets.members[seats.task.sets.of[i]] {
        seats.made_way[j] = Some(why.to_owned());
    }
    seats.send_out(i);
}

/// Who goes where, the largest first; what is there already only has to stay there.
fn errands(asked: &Asked, seats: &mut Seats<'_, '_, '_>) -> Vec<Errand> {
    let mut list = Vec::new();
    for (id, &k) in &asked.move_to {
        let Some(i) = seats.number(id) else { continue };
        seats.stays[i] = true;
        if seats.tier_of(i) != Some(k) {
            list.push(Errand { i, k, at: None });
        }
    }
    for (a, b) in &asked.swap {
        let Some((i, j)) = seats.number(a).zip(seats.number(b)) else {
            continue;
        };
        let Some(((ki, pi), (kj, pj))) = seats.was[i].zip(seats.was[j]) else {
            continue;
        };
        for (i, k, to, own) in [(i, kj, pj, pi), (j, ki, pi, pj)] {
            seats.stays[i] = true;
            let at = Some([to[0], to[1], own[2]]);
            list.push(Errand { i, k, at });
        }
    }
    let area = |e: &Errand| seats.task.ware[e.i].area_m2;
    list.sort_by(|a, b| area(b).total_cmp(&area(a)));
    list
}

/// Whether a piece can stand on its new tier at all.
fn can(
    ask: &PlanAsk<'_>,
    from: &LoadPlan,
    seats: &Seats<'_, '_, '_>,
    e: &Errand,
) -> Result<(), ChangeError> {
    let (ware, shelf) = (seats.task.ware, &seats.task.shelves[e.k]);
    let w = &ware[e.i];
    let no = |why: String| {
        Err(ChangeError::CannotMove {
            piece: w.piece.id.clone(),
            tier: from.tiers[e.k].name.clone(),
            why,
        })
    };
    let shown = ask.studio.shown;
    if !shelf.may_hold(w) {
        let raised = if w.supports.is_empty() {
            ""
        } else {
            " with its supports"
        };
        return no(format!(
            "it is {} tall{raised}, and under what is above that tier there is room for {}",
            shown.length(Length::m(w.body.top_m)),
            shown.length(Length::mm(
                (shelf.level.clear_mm - shelf.level.head_mm).max(0.0)
            ))
        ));
    }
    let fixed = || {
        let here = seats.on[e.k].iter().map(|(j, _)| *j);
        here.filter(|j| *j != e.i && seats.still[*j])
    };
    if let Some(j) = fixed().find(|j| w.shuns.contains(j)) {
        return no(format!(
            "{} stays there, and their glazes mark one another",
            ware[j].piece.id
        ));
    }
    let kept: f64 = fixed().map(|j| ware[j].mass_kg).sum();
    let limit = shelf.level.shelf.load_limit;
    if kept + w.mass_kg > limit.to_kg() {
        let with = if kept > 0.0 {
            format!(
                " beside {} that stays there",
                shown.mass(glost_model::Mass::kg(kept))
            )
        } else {
            String::new()
        };
        return no(format!(
            "it weighs {}{with}, and the shelf carries {}",
            shown.mass(w.piece.mass),
            shown.mass(limit)
        ));
    }
    if !alone(shelf, w) {
        return no(
            "even by itself it finds no place there: it is too wide, or posts, sensor and cones leave no room"
                .to_owned(),
        );
    }
    Ok(())
}

/// Brings a piece to its tier with as few others moved as can be, and what of its set waits with it.
fn run(from: &LoadPlan, seats: &mut Seats<'_, '_, '_>, e: &Errand) -> Result<(), ChangeError> {
    let before = seats.on.clone();
    let shunned: Vec<usize> = seats.on[e.k]
        .iter()
        .map(|(j, _)| *j)
        .filter(|j| seats.task.ware[e.i].shuns.contains(j))
        .collect();
    let no = |why: &str| {
        Err(ChangeError::CannotMove {
            piece: seats.task.ware[e.i].piece.id.clone(),
            tier: from.tiers[e.k].name.clone(),
            why: why.to_owned(),
        })
    };
    if shunned.iter().any(|j| seats.bound(*j)) {
        return no("its glaze and that of ware that must stay there mark one another");
    }
    for &j in &shunned {
        seats.lift(j);
    }
    let stands = [false, true]
        .into_iter()
        .any(|give_way| seats.seat(e.k, e.i, e.at, give_way))
        || oust(seats, e);
    if !stands {
        return no("what must stay there leaves no room for it");
    }
    for j in shunned {
        if !seats.house(j) {
            seats.send_out(j);
        }
    }
    for &j in &seats.task.sets.members[seats.task.sets.of[e.i]] {
        let other_errand = seats.stays[j];
        if seats.tier_of(j).is_none() && !other_errand && !seats.house(j) {
            return Err(ChangeError::CannotMove {
                piece: seats.task.ware[e.i].piece.id.clone(),
                tier: from.tiers[e.k].name.clone(),
                why: format!(
                    "its set goes together, and {} finds no room",
                    seats.task.ware[j].piece.id
                ),
            });
        }
    }
    let for_whom = format!(
        "made way for {} on tier {}",
        seats.task.ware[e.i].piece.id, from.tiers[e.k].name
    );
    let gone: Vec<usize> = before.iter().flatten().map(|(j, _)| *j).collect();
    for j in gone {
        if seats.tier_of(j).is_none() {
            seats.made_way[j] = Some(for_whom.clone());
        }
    }
    Ok(())
}

/// Makes room on a tier by moving the ware worth least to another, or out of the firing.
fn oust(seats: &mut Seats<'_, '_, '_>, e: &Errand) -> bool {
    let before = seats.on.clone();
    let worth = |seats: &Seats<'_, '_, '_>, j: usize| seats.task.sets.value[seats.task.sets.of[j]];
    let mut may: Vec<usize> = before[e.k]
        .iter()
        .map(|(j, _)| *j)
        .filter(|j| !seats.bound(*j))
        .collect();
    may.sort_by(|&a, &b| worth(seats, a).total_cmp(&worth(seats, b)));
    let all = seats.value();
    let mut best: Option<(f64, Vec<Tierful>)> = None;
    for &j in may.iter().take(TRIED_ALONE) {
        seats.on.clone_from(&before);
        seats.lift(j);
        let room = [false, true]
            .into_iter()
            .any(|give_way| seats.seat(e.k, e.i, e.at, give_way));
        if !room {
            continue;
        }
        let housed = seats.house(j);
        if !housed {
            seats.send_out(j);
        }
        let lost = all - seats.value();
        if best.as_ref().is_none_or(|(least, _)| lost < *least) {
            best = Some((lost, seats.on.clone()));
        }
        if housed {
            break;
        }
    }
    if let Some((_, on)) = best {
        seats.on = on;
        return true;
    }
    seats.on.clone_from(&before);
    let mut gone = Vec::new();
    for j in may {
        seats.lift(j);
        gone.push(j);
        if seats.seat(e.k, e.i, e.at, true) {
            for &j in gone.iter().rev() {
                if !seats.house(j) {
                    seats.send_out(j);
                }
            }
            return true;
        }
    }
    seats.on = before;
    false
}

/// A shelf that has lost ware may tip: what is left on it moves, the ware worth least first.
fn balance(from: &LoadPlan, seats: &mut Seats<'_, '_, '_>, all: bool) -> Result<(), ChangeError> {
    // What goes out can only unbalance other shelves so often.
    for _ in 0..=seats.task.ware.len() {
        let tips = (0..seats.on.len()).find(|&k| {
            let here = |id: &str| {
                let i = seats.number(id);
                i.is_some_and(|i| seats.on[k].iter().any(|(j, _)| *j == i))
            };
            let lost = from.tiers[k].pieces.iter().any(|p| !here(&p.piece));
            (all || lost) && !seats.task.shelves[k].stands(seats.task.ware, &seats.on[k])
        });
        let Some(k) = tips else { return Ok(()) };
        let worth = |j: &usize| seats.task.sets.value[seats.task.sets.of[*j]];
        let here = seats.on[k].iter().map(|(j, _)| *j);
        let mut may: Vec<usize> = here.filter(|j| !seats.bound(*j)).collect();
        may.sort_by(|a, b| worth(a).total_cmp(&worth(b)));
        let before = seats.on.clone();
        let housed = may.iter().any(|&j| {
            seats.lift(j);
            let steady = seats.task.shelves[k].steady(seats.task.ware, &seats.on[k]);
            let good = (steady && seats.house(j)) || seats.seat(k, j, None, true);
            if !good {
                seats.on.clone_from(&before);
            }
            good
        });
        if housed {
            continue;
        }
        match may.first() {
            Some(&j) => drop_out(seats, j, "without what was taken away its shelf would tip"),
            None => return Err(ChangeError::Tips(from.tiers[k].name.clone())),
        }
    }
    Ok(())
}
