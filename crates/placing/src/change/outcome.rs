//! The changed plan, and in words what differs.

use glost_model::kiln::Kiln;
use glost_model::load::{LeftOut, LoadPlan, Placed, Tier, Worth};
use glost_model::piece::PieceId;
use glost_model::shown::Shown;
use glost_model::{Angle, Length};

use super::asked::Asked;
use super::seats::Seats;
use crate::engine::{Body, Pose, free_gap};
use crate::plan::PlanAsk;
use crate::write::{with_over, without_idle};

/// A changed plan.
#[derive(Debug, Clone, PartialEq)]
pub struct Changed {
    /// The plan.
    pub load: LoadPlan,
    /// Every piece that is not exactly where it was, in the order of their ids.
    pub moved: Vec<Moved>,
}

/// A piece that is not exactly where it was.
#[derive(Debug, Clone, PartialEq)]
pub struct Moved {
    /// Which piece.
    pub piece: PieceId,
    /// How.
    pub step: Step,
}

/// How a piece's place differs.
#[derive(Debug, Clone, PartialEq)]
pub enum Step {
    /// From one tier to another.
    Tier {
        /// Name of the tier where it was.
        from: String,
        /// Name of the tier where it is.
        to: String,
    },
    /// On its own tier.
    Shifted {
        /// Name of the tier.
        tier: String,
        /// How far, m.
        by_m: Length,
        /// How far it is turned, the shorter way round, rad.
        turned_rad: Angle,
    },
    /// Came in.
    In {
        /// Name of the tier.
        to: String,
    },
    /// Went out.
    Out {
        /// Name of the tier where it was.
        from: String,
        /// Why.
        why: String,
    },
}

impl Moved {
    /// In one line, in the units of a studio.
    pub fn words(&self, shown: Shown) -> String {
        let id = &self.piece;
        match &self.step {
            Step::Tier { from, to } => format!("{id}: from tier {from} to tier {to}"),
            Step::Shifted {
                tier,
                by_m,
                turned_rad,
            } => {
                let deg = turned_rad.to_deg().round();
                let turned = if deg.abs() >= 1.0 {
                    format!(" and turned {deg}°")
                } else {
                    String::new()
                };
                format!(
                    "{id}: on tier {tier}, shifted by {}{turned}",
                    shown.distance(*by_m)
                )
            }
            Step::In { to } => format!("{id}: came in, on tier {to}"),
            Step::Out { from, why } => format!("{id}: went out from tier {from}: {why}"),
        }
    }
}

/// Writes the changed plan down. Tiers on which nothing differs stay to the last bit.
pub fn write_down(
    ask: &PlanAsk<'_>,
    kiln: &Kiln,
    from: &LoadPlan,
    asked: &Asked,
    seats: &Seats<'_, '_, '_>,
    mut left_out: Vec<LeftOut>,
    at_most: f64,
) -> Changed {
    let tiers: Vec<Tier> = (0..from.tiers.len())
        .map(|k| tier(&from.tiers[k], seats, k))
        .collect();
    for (i, w) in seats.task.ware.iter().enumerate() {
        if seats.tier_of(i).is_none() {
            left_out.extend(w.pieces().map(|p| reason(from, asked, seats, i, &p.id)));
        }
    }
    left_out.sort_by(|a, b| a.piece.cmp(&b.piece));
    let load = LoadPlan {
        kiln: from.kiln.clone(),
        cone: from.cone,
        kind: from.kind,
        seed: from.seed,
        tiers: without_idle(ask, kiln, tiers),
        worth: Worth {
            value: seats.value(),
            at_most,
        },
        left_out,
    };
    let moved = moved(from, &load);
    Changed { load, moved }
}

fn tier(was: &Tier, seats: &Seats<'_, '_, '_>, k: usize) -> Tier {
    let on = &seats.on[k];
    let there = |i: usize, p: &Pose| {
        let old = was
            .pieces
            .iter()
            .find(|q| q.piece == seats.task.ware[i].piece.id)?;
        let own = [old.x_m.to_m(), old.y_m.to_m(), old.rotation_rad.to_rad()];
        // Kept places are handed through untouched.
        (own[0].to_bits() == p[0].to_bits()
            && own[1].to_bits() == p[1].to_bits()
            && own[2].to_bits() == p[2].to_bits())
        .then_some(old)
    };
    let ware = seats.task.ware;
    let all: usize = on.iter().map(|(i, _)| ware[*i].pieces().count()).sum();
    if all == was.pieces.len() && on.iter().all(|(i, p)| there(*i, p).is_some()) {
        return was.clone();
    }
    let bodies: Vec<&Body> = on.iter().map(|(i, _)| &seats.task.ware[*i].body).collect();
    let poses: Vec<Pose> = on.iter().map(|(_, p)| *p).collect();
    let mut pieces: Vec<Placed> = on
        .iter()
        .enumerate()
        .map(|(n, (i, p))| {
            let w = &seats.task.ware[*i];
            let gap_m = Length::m(free_gap(&seats.task.shelves[k].room, &bodies, &poses, n));
            match there(*i, p) {
                Some(old) => Placed {
                    gap_m,
                    ..old.clone()
                },
                None => Placed {
                    piece: w.piece.id.clone(),
                    x_m: Length::m(p[0]),
                    y_m: Length::m(p[1]),
                    rotation_rad: Angle::rad(p[2].rem_euclid(std::f64::consts::TAU)),
                    supports: w.supports.clone(),
                    on: None,
                    raised_m: Length::m(w.raised_m),
                    mind: w.mind.clone(),
                    gap_m,
                },
            }
        })
        .collect();
    // In placing order: the far side first, so that nothing is reached over.
    pieces.sort_by(|a, b| b.y_m.total_cmp(&a.y_m).then(a.x_m.total_cmp(&b.x_m)));
    Tier {
        pieces: pieces
            .into_iter()
            .flat_map(|p| with_over(ware, p))
            .collect(),
        ..was.clone()
    }
}

/// Why a piece that may go is out.
fn reason(
    from: &LoadPlan,
    asked: &Asked,
    seats: &Seats<'_, '_, '_>,
    i: usize,
    id: &PieceId,
) -> LeftOut {
    if let Some(old) = from.left_out.iter().find(|l| &l.piece == id) {
        return old.clone();
    }
    let say = |rule: &str, why: &str, remedy: &str| LeftOut {
        piece: id.clone(),
        rule: rule.to_owned(),
        why: why.to_owned(),
        remedy: remedy.to_owned(),
    };
    if let Some(why) = &seats.made_way[i] {
        return say("no-room", why, "Fire it next time, or undo that change");
    }
    let set = &seats.task.sets.members[seats.task.sets.of[i]];
    let absent = set
        .iter()
        .find(|j| asked.absent.contains(&seats.task.ware[**j].piece.id));
    match absent {
        Some(_) => say(
            "kept-together",
            "its set goes together, and not all of it is here",
            "Bring the rest of its set, or part the set",
        ),
        None => say(
            "no-room",
            "it was not in the plan that was changed",
            "Change the plan once more and let waiting ware in, or plan the load again",
        ),
    }
}

/// What differs between two plans.
fn moved(from: &LoadPlan, to: &LoadPlan) -> Vec<Moved> {
    let mut list = Vec::new();
    let place = |load: &LoadPlan, id: &str| {
        let found = load.placed().find(|(_, p)| p.piece == id);
        found.map(|(t, p)| (t.name.clone(), p.clone()))
    };
    for (t, p) in from.placed() {
        let step = match place(to, &p.piece) {
            None => {
                let why = to.left_out.iter().find(|l| l.piece == p.piece);
                Some(Step::Out {
                    from: t.name.clone(),
                    why: why.map_or_else(String::new, |l| l.why.clone()),
                })
            }
            Some((name, _)) if name != t.name => Some(Step::Tier {
                from: t.name.clone(),
                to: name,
            }),
            Some((_, q)) => {
                let by_m = (q.x_m - p.x_m).to_m().hypot((q.y_m - p.y_m).to_m());
                let tau = std::f64::consts::TAU;
                let turn = (q.rotation_rad - p.rotation_rad).to_rad().rem_euclid(tau);
                let turn = if turn > tau / 2.0 { turn - tau } else { turn };
                (by_m > 0.0 || turn != 0.0).then(|| Step::Shifted {
                    tier: t.name.clone(),
                    by_m: Length::m(by_m),
                    turned_rad: Angle::rad(turn),
                })
            }
        };
        list.extend(step.map(|step| Moved {
            piece: p.piece.clone(),
            step,
        }));
    }
    for (t, p) in to.placed() {
        if place(from, &p.piece).is_none() {
            list.push(Moved {
                piece: p.piece.clone(),
                step: Step::In { to: t.name.clone() },
            });
        }
    }
    list.sort_by(|a, b| a.piece.cmp(&b.piece));
    list
}
