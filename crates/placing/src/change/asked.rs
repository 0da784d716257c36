//! What is said at the kiln, and whether it can be meant.

use std::collections::{BTreeMap, BTreeSet};

use glost_model::load::LoadPlan;
use glost_model::piece::PieceId;

use super::NOT_HERE;
use crate::plan::PlanAsk;

/// What is said at the kiln about a plan.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Change {
    /// Not here, does not fit, or not in this firing: left out.
    pub absent: Vec<PieceId>,
    /// Stays exactly where it is.
    pub keep: Vec<PieceId>,
    /// Not on this tier.
    pub forbid: Vec<(PieceId, String)>,
    /// Onto this tier.
    pub move_to: Vec<(PieceId, String)>,
    /// These two change places.
    pub swap: Vec<(PieceId, PieceId)>,
    /// Whether waiting ware may come in where there is room.
    pub fill: bool,
    /// Crowded where they stand: near there if there is room, else elsewhere.
    pub loose: Vec<PieceId>,
    /// Whether shelves that tip are righted although nothing was taken from them.
    pub steady: bool,
}

/// Why a plan cannot be changed so.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChangeError {
    /// The plan's kiln is not in the studio.
    #[error("the plan is for kiln '{0}', which the studio does not have: plan the load again")]
    NoKiln(String),
    /// The plan cannot be taken up.
    #[error("{0}: plan the load again")]
    Unsound(String),
    /// No such piece.
    #[error("the studio has no piece '{0}': check its slip")]
    NoPiece(PieceId),
    /// No such tier.
    #[error("the plan has no tier '{asked}'; it has {known}")]
    NoTier {
        /// As asked.
        asked: String,
        /// Those there are.
        known: String,
    },
    /// It has no place in the plan that it could keep or give up.
    #[error("{0} is not in this plan: move it to a tier to let it in")]
    NotPlanned(PieceId),
    /// Two things that cannot both be.
    #[error("{piece} is asked {one} and {other}: say one of them")]
    Contradiction {
        /// The piece.
        piece: PieceId,
        /// In words.
        one: String,
        /// In words.
        other: String,
    },
    /// It may not go at all, and was asked to stay or to move.
    #[error("{piece} cannot go: {why}")]
    MayNotGo {
        /// The piece.
        piece: PieceId,
        /// Why.
        why: String,
    },
    /// It cannot stand on that tier.
    #[error("{piece} cannot go on tier {tier}: {why}")]
    CannotMove {
        /// The piece.
        piece: PieceId,
        /// The tier.
        tier: String,
        /// Why.
        why: String,
    },
    /// What is left on a shelf does not balance, and may not move.
    #[error(
        "without what is taken away the shelf of tier {0} would tip, and what is kept there may not move"
    )]
    Tips(String),
}

/// A change that holds together, by the numbers of its tiers.
#[derive(Debug)]
pub struct Asked {
    /// Left out.
    pub absent: BTreeSet<PieceId>,
    /// Kept in place.
    pub keep: BTreeSet<PieceId>,
    /// Barred from tiers.
    pub forbid: BTreeSet<(PieceId, usize)>,
    /// Onto tiers.
    pub move_to: BTreeMap<PieceId, usize>,
    /// Exchanged.
    pub swap: Vec<(PieceId, PieceId)>,
    /// Crowded where they stand.
    pub loose: BTreeSet<PieceId>,
    /// Shelves that tip are righted.
    pub steady: bool,
}

impl Asked {
    /// Looks every name up and finds what contradicts.
    pub fn of(ask: &PlanAsk<'_>, from: &LoadPlan, change: &Change) -> Result<Self, ChangeError> {
        let known = |id: &PieceId| match ask.studio.piece(id) {
            Some(_) => Ok(id.clone()),
            None => Err(ChangeError::NoPiece(id.clone())),
        };
        let tier_of = |id: &PieceId| {
            let on = |t: &glost_model::load::Tier| t.pieces.iter().any(|p| &p.piece == id);
            from.tiers.iter().position(on)
        };
        let planned = |id: &PieceId| {
            let id = known(id)?;
            let tier = tier_of(&id);
            tier.map(|t| (id.clone(), t))
                .ok_or(ChangeError::NotPlanned(id))
        };
        let tier = |name: &String| {
            let found = from.tiers.iter().position(|t| &t.name == name);
            found.ok_or_else(|| ChangeError::NoTier {
                asked: name.clone(),
                known: names(from),
            })
        };
        // What each piece is asked to do, in words; no piece can do two of these.
        let mut roles: BTreeMap<PieceId, String> = BTreeMap::new();
        let mut role = |id: &PieceId, words: String| match roles.get(id) {
            Some(one) if *one != words => Err(ChangeError::Contradiction {
                piece: id.clone(),
                one: one.clone(),
                other: words,
            }),
            _ => {
                roles.insert(id.clone(), words);
                Ok(())
            }
        };
        let mut asked = Self {
            absent: BTreeSet::new(),
            keep: BTreeSet::new(),
            forbid: BTreeSet::new(),
            move_to: BTreeMap::new(),
            swap: Vec::new(),
            loose: BTreeSet::new(),
            steady: change.steady,
        };
        for id in &change.absent {
            role(id, "to be left out".to_owned())?;
            asked.absent.insert(known(id)?);
        }
        for id in &change.keep {
            role(id, "to stay where it is".to_owned())?;
            asked.keep.insert(planned(id)?.0);
        }
        for id in &change.loose {
            role(id, "to make room".to_owned())?;
            asked.loose.insert(planned(id)?.0);
        }
        for (id, name) in &change.move_to {
            role(id, format!("to go on tier {name}"))?;
            asked.move_to.insert(known(id)?, tier(name)?);
        }
        // Where each piece must end, for the bars.
        let mut ends: BTreeMap<PieceId, usize> = asked.move_to.clone();
        for (a, b) in &change.swap {
            let ((a, at), (b, bt)) = (planned(a)?, planned(b)?);
            if a == b {
                return Err(ChangeError::Contradiction {
                    piece: a,
                    one: "to change places with another".to_owned(),
                    other: "that other is itself".to_owned(),
                });
            }
            role(&a, format!("to change places with {b}"))?;
            role(&b, format!("to change places with {a}"))?;
            ends.insert(a.clone(), bt);
            ends.insert(b.clone(), at);
            if !asked.swap.contains(&(b.clone(), a.clone()))
                && !asked.swap.contains(&(a.clone(), b.clone()))
            {
                asked.swap.push((a, b));
            }
        }
        for id in &asked.keep {
            ends.extend(tier_of(id).map(|t| (id.clone(), t)));
        }
        for (id, name) in &change.forbid {
            let (id, t) = (known(id)?, tier(name)?);
            if ends.get(&id) == Some(&t) {
                return Err(ChangeError::Contradiction {
                    one: roles.get(&id).cloned().unwrap_or_default(),
                    piece: id,
                    other: format!("to keep off tier {name}"),
                });
            }
            asked.forbid.insert((id, t));
        }
        // Said once, it holds until the piece is asked for by name.
        for l in from.left_out.iter().filter(|l| l.rule == NOT_HERE) {
            if !asked.move_to.contains_key(&l.piece) && ask.studio.piece(&l.piece).is_some() {
                asked.absent.insert(l.piece.clone());
            }
        }
        Ok(asked)
    }

    /// Whether a piece leaves what it stands on.
    pub fn goes_alone(&self, id: &str) -> bool {
        self.move_to.contains_key(id) || self.swap.iter().any(|(a, b)| a == id || b == id)
    }

    /// Whether a piece must be in the changed plan.
    pub fn wants_in(&self, id: &PieceId) -> bool {
        self.keep.contains(id) || self.goes_alone(id)
    }
}

fn names(from: &LoadPlan) -> String {
    let names: Vec<&str> = from.tiers.iter().map(|t| t.name.as_str()).collect();
    if names.is_empty() {
        "none".to_owned()
    } else {
        names.join(", ")
    }
}
