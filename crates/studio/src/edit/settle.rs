//! Puts right what a hand has left wrong, around what is locked, with as few changes as can be.

use std::collections::BTreeSet;

use glost_check::{Breach, judge};
use glost_model::load::LoadPlan;
use glost_model::piece::PieceId;
use glost_placing::{Change, Changed, PlanAsk, replan_unproved};

use super::group::{find, with_riders};
use super::{Answer, Bench, Edit, EditFault, Patch};

impl Bench {
    /// Replans around what is locked and, as far as that goes, around what a hand placed last: what
    /// breaks a rule moves a little, then to another tier, and goes out when nothing else is left. A
    /// load that breaks fewer rules than before is kept even when it still breaks some.
    ///
    /// # Errors
    /// [`EditFault::NothingToSettle`], and [`EditFault::CannotSettle`] when nothing gets better; the
    /// bench is then as it was.
    pub fn settle(&mut self) -> Result<Answer, EditFault> {
        let book = self.book()?;
        let ask = self.ask(&book);
        let load = &self.plan.load;
        let wrong = judge(ask.studio, &book, load);
        if wrong.is_empty() {
            return Err(EditFault::NothingToSettle);
        }
        let placed = self.by_hand();
        let gentle = crowded(&ask, load, &self.locked, &placed, &wrong);
        let all = crowded(&ask, load, &self.locked, &BTreeSet::new(), &wrong)
            .into_iter()
            .chain(concerned(load, &self.locked, &wrong))
            .collect::<BTreeSet<_>>();
        let mut best: Option<(usize, Changed)> = None;
        let mut trouble = None;
        for loose in [gentle, all] {
            match replan_unproved(&ask, load, &self.change(loose)) {
                // A set that is broken takes the rest of it along, locked or not.
                Ok(c) if !self.holds(&c.load) => {}
                Ok(c) => {
                    let left = judge(ask.studio, &book, &c.load).len();
                    if left < best.as_ref().map_or(wrong.len(), |(n, _)| *n) {
                        best = Some((left, c));
                    }
                    if left == 0 {
                        break;
                    }
                }
                Err(e) => trouble = Some(e),
            }
        }
        let Some((_, changed)) = best else {
            let why = match trouble {
                Some(e) => e.to_string(),
                None => wrong.first().map_or_else(String::new, ToString::to_string),
            };
            return Err(EditFault::CannotSettle(why));
        };
        let shown = self.plan.studio.shown;
        let said = changed.moved.iter().map(|m| m.words(shown)).collect();
        let back = Patch::of(load, &self.locked, None, true);
        self.plan.load = changed.load;
        Ok(self.keep(None, back, said, &book))
    }

    fn change(&self, loose: BTreeSet<PieceId>) -> Change {
        let goes = |id: &&PieceId| find(&self.plan.load, id).is_some();
        Change {
            keep: self.locked.iter().filter(goes).cloned().collect(),
            // What was taken out by hand stays out: nothing is let in.
            loose: loose.into_iter().collect(),
            steady: true,
            ..Change::default()
        }
    }

    /// Whether all that is locked stands where it did.
    fn holds(&self, load: &LoadPlan) -> bool {
        let place = |load: &LoadPlan, id: &str| {
            let (k, n) = find(load, id)?;
            let p = &load.tiers[k].pieces[n];
            Some((load.tiers[k].name.clone(), [p.x_m, p.y_m], p.rotation_rad))
        };
        let mut locked = self.locked.iter();
        locked.all(|id| place(load, id) == place(&self.plan.load, id))
    }

    /// Pieces that a hand has placed since the load was opened or settled.
    fn by_hand(&self) -> BTreeSet<PieceId> {
        let steps = self.done.iter().rev().map_while(|s| s.edit.as_ref());
        steps
            .flat_map(|e| match e {
                Edit::Move { piece, .. } | Edit::PutIn { piece, .. } => vec![piece.clone()],
                Edit::Swap { a, b } => vec![a.clone(), b.clone()],
                Edit::TakeOut { .. } | Edit::Lock { .. } | Edit::Unlock { .. } => Vec::new(),
            })
            .collect()
    }
}

/// Whether a piece or anything that stands on it is locked.
fn fixed(load: &LoadPlan, locked: &BTreeSet<PieceId>, id: &str) -> bool {
    find(load, id).is_none_or(|(k, _)| {
        let mut group = with_riders(&load.tiers[k], id).into_iter();
        group.any(|p| locked.contains(p))
    })
}

/// Pieces that are named by a breach and may move.
fn concerned(load: &LoadPlan, locked: &BTreeSet<PieceId>, wrong: &[Breach]) -> BTreeSet<PieceId> {
    let named = wrong.iter().flat_map(|b| &b.pieces);
    named
        .filter(|id| !fixed(load, locked, id))
        .cloned()
        .collect()
}

/// One piece for each breach that has to make room: rather one that no hand has placed, then the
/// lightest. A shelf that carries too much gives up the lightest that is enough, or its heaviest.
fn crowded(
    ask: &PlanAsk<'_>,
    load: &LoadPlan,
    locked: &BTreeSet<PieceId>,
    placed: &BTreeSet<PieceId>,
    wrong: &[Breach],
) -> BTreeSet<PieceId> {
    let kg = |id: &str| ask.studio.piece(id).map_or(0.0, |p| p.mass.to_kg());
    let mut loose: BTreeSet<PieceId> = BTreeSet::new();
    for b in wrong {
        if b.pieces.iter().any(|p| loose.contains(p)) {
            continue;
        }
        let mut may: Vec<&PieceId> = b
            .pieces
            .iter()
            .filter(|id| !fixed(load, locked, id))
            .collect();
        may.sort_by(|x, y| {
            let hand = placed.contains(*x).cmp(&placed.contains(*y));
            hand.then(kg(x).total_cmp(&kg(y))).then(x.cmp(y))
        });
        loose.extend(may.first().map(|id| (*id).clone()));
        if b.rule == "shelf-load" {
            loose.extend(too_much(ask, load, locked, b.tier.as_deref(), &kg));
        }
    }
    loose
}

fn too_much(
    ask: &PlanAsk<'_>,
    load: &LoadPlan,
    locked: &BTreeSet<PieceId>,
    tier: Option<&str>,
    kg: &dyn Fn(&str) -> f64,
) -> Option<PieceId> {
    let tier = load.tiers.iter().find(|t| Some(t.name.as_str()) == tier)?;
    let mut shelves = ask.studio.furniture.shelves.iter();
    let limit = shelves.find(|s| s.name == tier.shelf)?.load_limit.to_kg();
    let all: f64 = tier.pieces.iter().map(|p| kg(&p.piece)).sum();
    let mut may: Vec<(f64, &PieceId)> = tier
        .pieces
        .iter()
        .filter(|p| p.on.is_none() && !fixed(load, locked, &p.piece))
        .map(|p| {
            let group = with_riders(tier, &p.piece).into_iter();
            (group.map(kg).sum(), &p.piece)
        })
        .collect();
    may.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(b.1)));
    let enough = may.iter().find(|(m, _)| *m >= all - limit);
    enough.or(may.last()).map(|(_, id)| (*id).clone())
}
