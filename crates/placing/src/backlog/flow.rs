//! From a backlog to firings.

use std::collections::BTreeMap;

use glost_model::load::{LeftOut, LoadPlan, Worth};
use jiff::civil::Date;

use super::better::better;
use super::cones::sorts;
use super::deal::deal;
use super::least::least;
use super::lots::{Lot, lots};
use super::state::{Held, Maker};
use super::when::{Days, Job, Slot, day, slots, times};
use super::{Backlog, BacklogAsk, BacklogError, Care, Firing, Foresee, Late};
use crate::plan::PlanError;
use crate::ware::value;

/// Deals a backlog out over kilns and days. `foresee` says what a firing takes; `watch` hears the share
/// done (0 to 1) and the number of firings so far, and stops the search by answering false: all ware is
/// then dealt out without further effort.
///
/// A firing is in time when its ware is unloaded on a day before the due date.
///
/// # Errors
/// See [`BacklogError`]. Ware that no firing takes and ware that comes late are no errors.
pub fn firings(
    ask: &BacklogAsk<'_>,
    foresee: &mut Foresee<'_>,
    watch: &mut dyn FnMut(f64, usize) -> bool,
) -> Result<Backlog, BacklogError> {
    known(ask)?;
    let zone = ask.from.time_zone().clone();
    let days = Days::new(&ask.studio.hours, &zone);
    let from_s = ask.from.timestamp().as_second();
    if !days.anybody(from_s) {
        return Err(BacklogError::NobodyThere(ask.from.date()));
    }
    let (ware, mut stay) = lots(ask);
    let mut bare = ask.studio.clone();
    bare.pieces.clear();
    let mut maker = Maker {
        ask,
        lots: &ware,
        bare,
        zone,
        foresee,
        watch,
        done: 0.0,
        found: 0,
        tired: false,
        failed: Vec::new(),
        plans: 0,
        trouble: None,
    };
    let (mut held, refused) = deal(&mut maker, &sorts(&ware));
    if held.is_empty()
        && let Some(trouble) = maker.trouble.take()
    {
        return Err(trouble.into());
    }
    stay.extend(refused);
    stay.sort_by(|a, b| a.piece.cmp(&b.piece));
    let taken: Vec<&Lot<'_>> = held
        .iter()
        .flat_map(|h| &h.lots)
        .map(|l| &ware[*l])
        .collect();
    let proof = least(ask, &taken);
    better(&mut maker, &mut held, proof.firings, ask.rounds);
    finish(&mut maker, held, proof, stay).ok_or_else(|| BacklogError::NobodyThere(ask.from.date()))
}

fn known(ask: &BacklogAsk<'_>) -> Result<(), PlanError> {
    let unknown = ask.kilns.iter().find(|k| ask.studio.kiln(k).is_none());
    unknown.map_or(Ok(()), |asked| {
        let known = ask.studio.kilns.iter().map(|k| k.name.as_str());
        Err(PlanError::NoKiln {
            asked: asked.clone(),
            known: known.collect::<Vec<_>>().join(", "),
        })
    })
}

/// Foresees every firing for itself and says when it is.
fn finish(
    maker: &mut Maker<'_, '_>,
    mut held: Vec<Held>,
    least: super::Least,
    stay: Vec<LeftOut>,
) -> Option<Backlog> {
    for h in &mut held {
        h.load.left_out.clear();
        h.load.worth = usual_worth(maker, h);
        if let Ok(course) = (maker.foresee)(&h.load, Care::Exact) {
            h.course = course;
        }
    }
    let timed = maker.timed(&held)?;
    let mut late: Vec<Late> = Vec::new();
    for (i, slot) in &timed {
        for lot in &held[*i].lots {
            late.extend(lates(maker, &held, &held[*i], *lot, slot));
        }
    }
    late.sort_by(|a, b| a.due.cmp(&b.due).then_with(|| a.piece.cmp(&b.piece)));
    let mut of: BTreeMap<usize, (LoadPlan, super::Course)> = held
        .into_iter()
        .enumerate()
        .map(|(i, h)| (i, (h.load, h.course)))
        .collect();
    let mut firings = Vec::new();
    for (i, slot) in &timed {
        let (load, course) = of.remove(i)?;
        let times = times(slot, &maker.zone)?;
        firings.push(Firing {
            load,
            course,
            times,
        });
    }
    firings.sort_by(|a, b| a.times.load.cmp(&b.times.load));
    Some(Backlog {
        firings,
        least,
        late,
        stay,
    })
}

/// What the load is worth by priority and due date: all that may go is in it.
fn usual_worth(maker: &Maker<'_, '_>, held: &Held) -> Worth {
    let pieces = held.lots.iter().flat_map(|l| &maker.lots[*l].pieces);
    let all = pieces.map(|p| value(p, maker.ask.from.date())).sum::<f64>();
    Worth {
        value: all,
        at_most: all,
    }
}

/// The pieces of a lot that come late, with why.
fn lates(maker: &Maker<'_, '_>, all: &[Held], own: &Held, lot: usize, slot: &Slot) -> Vec<Late> {
    let Some(done) = day(slot.done_s, &maker.zone) else {
        return Vec::new();
    };
    let from = maker.ask.from.date();
    let soonest = soonest(maker, all, own);
    let pieces = maker.lots[lot].pieces.iter();
    let late = pieces.filter_map(|p| Some((p, p.due?)).filter(|(_, due)| done >= *due));
    let said = late.map(|(p, due)| Late {
        piece: p.id.clone(),
        due,
        done,
        why: if due <= from {
            format!("it was due before the first loading, on {from}")
        } else if let Some(first) = soonest.filter(|s| *s >= due) {
            format!("even the first firing from {from} on can only be unloaded on {first}")
        } else {
            "kilns, people and furniture are taken by ware that is due as soon".to_owned()
        },
    });
    said.collect()
}

/// The first day on which ware of this sort could be had if it were fired first.
fn soonest(maker: &Maker<'_, '_>, all: &[Held], own: &Held) -> Option<Date> {
    let days = Days::new(&maker.ask.studio.hours, &maker.zone);
    let from_s = maker.ask.from.timestamp().as_second();
    let same = all.iter().filter(|h| h.sort == own.sort);
    let ends = same.filter_map(|h| {
        let job = Job {
            kiln: &h.kiln,
            course: h.course,
            used: &h.used,
        };
        let owned = &maker.ask.studio.furniture;
        Some(slots(&days, from_s, owned, &[job])?.first()?.done_s)
    });
    day(ends.min()?, &maker.zone)
}
