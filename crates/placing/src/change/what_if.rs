//! What would let a piece into a plan, in one sentence.

use glost_model::Length;
use glost_model::load::LoadPlan;

use super::asked::{Asked, Change, ChangeError};
use super::seats::{Seats, same};
use super::taken_up;
use crate::plan::PlanAsk;

/// Looks, in this order, for a free place, for neighbours that could shift, for ware that could wait
/// instead (that worth least first), and for posts that would make a tier tall enough. Says the first
/// that would do. Everything else in the plan stays as it is.
///
/// # Errors
/// No such piece, or a plan that cannot be taken up.
pub fn what_if(ask: &PlanAsk<'_>, from: &LoadPlan, piece: &str) -> Result<String, ChangeError> {
    let asked = Asked::of(ask, from, &Change::default())?;
    if ask.studio.piece(piece).is_none() {
        return Err(ChangeError::NoPiece(piece.to_owned()));
    }
    if let Some((t, _)) = from.placed().find(|(_, p)| p.piece == piece) {
        return Ok(format!("{piece} goes: it stands on tier {}.", t.name));
    }
    taken_up(ask, from, &asked, |_, seats, left_out, _| {
        if let Some(l) = left_out.iter().find(|l| l.piece == piece) {
            return Ok(format!("{piece} may not go: {}. {}.", l.why, l.remedy));
        }
        let Some(i) = seats.number(piece) else {
            return Ok(format!("{piece} may not go."));
        };
        let told = beside(ask, from, seats, i)
            .or_else(|| instead(from, seats, i))
            .or_else(|| taller(ask, from, seats, i));
        Ok(told.unwrap_or_else(|| {
            format!("{piece} finds no place on any tier of this plan, whatever single piece waits instead: fire it another time or plan the load again.")
        }))
    })
}

/// A free place, or one where neighbours shift, for the piece and all of its set.
fn beside(
    ask: &PlanAsk<'_>,
    from: &LoadPlan,
    seats: &mut Seats<'_, '_, '_>,
    i: usize,
) -> Option<String> {
    let before = seats.on.clone();
    let found = seats.let_in(seats.task.sets.of[i]);
    let words = found.then(|| {
        let k = seats.tier_of(i).unwrap_or_default();
        let mut shifted = Vec::new();
        let mut most: f64 = 0.0;
        for (t, on) in seats.on.iter().enumerate() {
            for (j, p) in on {
                let was = seats.was[*j].filter(|(wt, _)| *wt == t);
                let Some((_, w)) = was.filter(|(_, w)| !same(w, p, seats.reach_m(*j))) else {
                    continue;
                };
                shifted.push(seats.task.ware[*j].piece.id.as_str());
                most = most.max((w[0] - p[0]).hypot(w[1] - p[1]));
            }
        }
        let (id, tier) = (&seats.task.ware[i].piece.id, &from.tiers[k].name);
        if shifted.is_empty() {
            format!("{id} fits on tier {tier} as the plan is.")
        } else {
            format!(
                "{id} fits on tier {tier} when {} shift{} by {} at most.",
                shifted.join(", "),
                if shifted.len() == 1 { "s" } else { "" },
                ask.studio.shown.distance(Length::m(most))
            )
        }
    });
    seats.on = before;
    words
}

/// Ware that waits instead: the set worth least whose place serves.
fn instead(from: &LoadPlan, seats: &mut Seats<'_, '_, '_>, i: usize) -> Option<String> {
    let before = seats.on.clone();
    let sets = seats.task.sets;
    let own = sets.of[i];
    let mut others: Vec<usize> = (0..sets.members.len())
        .filter(|s| sets.members[*s].iter().all(|j| seats.was[*j].is_some()))
        .collect();
    others.sort_by(|&a, &b| sets.value[a].total_cmp(&sets.value[b]));
    for s in others {
        for &j in &sets.members[s] {
            seats.lift(j);
        }
        let found = seats.let_in(own);
        let k = seats.tier_of(i);
        seats.on.clone_from(&before);
        let Some(k) = k.filter(|_| found) else {
            continue;
        };
        let names: Vec<&str> = sets.members[s]
            .iter()
            .flat_map(|j| seats.task.ware[*j].pieces().map(|p| p.id.as_str()))
            .collect();
        let worth = if sets.value[s] < sets.value[own] {
            "worth less"
        } else {
            "worth no less"
        };
        return Some(format!(
            "{} fits on tier {} when {}, {worth}, wait{} instead.",
            seats.task.ware[i].piece.id,
            from.tiers[k].name,
            names.join(", "),
            if names.len() == 1 { "s" } else { "" },
        ));
    }
    None
}

/// Posts under the next shelf that would make a tier tall enough while what is above stays under the lid.
fn taller(
    ask: &PlanAsk<'_>,
    from: &LoadPlan,
    seats: &Seats<'_, '_, '_>,
    i: usize,
) -> Option<String> {
    let shown = ask.studio.shown;
    let need_m = seats.task.ware[i].body.top_m;
    let top = seats.task.shelves.last()?;
    let tallest = seats.on.last()?.iter().map(|(j, _)| *j);
    let tallest = tallest
        .map(|j| seats.task.ware[j].body.top_m)
        .fold(0.0, f64::max);
    let spare_mm = top.level.clear_mm - top.level.head_mm - tallest * 1000.0;
    let owned = &ask.studio.furniture.posts;
    let mut best: Option<(f64, usize, String)> = None;
    for (k, shelf) in seats.task.shelves.iter().enumerate() {
        let above = from.tiers.get(k + 1).filter(|t| {
            t.side == shelf.level.side
                && t.posts
                    .iter()
                    .all(|p| (p.base_m - from.tiers[k].top_m).to_mm().abs() < 0.1)
        });
        let Some(above) = above else { continue };
        let lack_mm = need_m * 1000.0 + shelf.level.head_mm + 0.05 - shelf.level.clear_mm;
        for post in owned {
            let used = from
                .tiers
                .iter()
                .filter(|t| t.name != above.name)
                .flat_map(|t| t.posts.iter().flat_map(|p| &p.lengths_m));
            let used = used
                .filter(|l| (**l - post.length).to_mm().abs() < 0.01)
                .count();
            let left = usize::from(post.count).saturating_sub(used);
            let raise = post.length.to_mm() - shelf.level.clear_mm;
            let good = left >= above.posts.len() && raise >= lack_mm && raise <= spare_mm;
            if good && best.as_ref().is_none_or(|(least, ..)| raise < *least) {
                best = Some((raise, k, shown.length(post.length)));
            }
        }
    }
    let (_, k, posts) = best?;
    Some(format!(
        "{} needs {} of height: posts of {posts} above tier {} in place of its own would make it tall enough, once ware there makes room.",
        seats.task.ware[i].piece.id,
        shown.length(Length::m(need_m)),
        from.tiers[k].name
    ))
}
