//! Does one edit to a load.

use std::collections::BTreeSet;

use glost_model::Length;
use glost_model::load::{LeftOut, LoadPlan, Placed};
use glost_model::piece::PieceId;
use glost_placing::{PlanAsk, footing, worth_of};

use super::group::{find, in_order, lift, with_riders};
use super::{Edit, EditFault};

/// The rule under which ware stands that a person took out.
pub const BY_HAND: &str = "by-hand";

/// What an edit touched.
#[derive(Debug, Default)]
pub struct Touched {
    /// Numbers of the tiers whose ware changed.
    pub tiers: BTreeSet<usize>,
    /// Whether ware came in or went out.
    pub left_out: bool,
}

/// Changes the load and the locks as told.
pub fn carry_out(
    ask: &PlanAsk<'_>,
    load: &mut LoadPlan,
    locked: &mut BTreeSet<PieceId>,
    edit: &Edit,
) -> Result<Touched, EditFault> {
    let mut done = Touched::default();
    match edit {
        Edit::Move {
            piece,
            tier,
            x_m,
            y_m,
            rotation_rad,
        } => {
            let from = planned(ask, load, piece)?;
            let to = tier_number(load, piece, tier)?;
            free(load, locked, piece)?;
            let turned = rotation_rad.is_none_or(|r| r.is_finite() && r.to_rad().abs() < 1e3);
            sound(piece, tier, &[*x_m, *y_m], turned)?;
            let mut group = lift(&mut load.tiers[from], piece);
            if let Some((base, riders)) = group.split_first_mut() {
                let was = base.raised_m;
                if base.on.take().is_some() {
                    // It stands on the shelf now like any other ware, and what it carries comes down with it.
                    foot(ask, load, base, tier)?;
                    for r in riders.iter_mut() {
                        r.raised_m = r.raised_m - was + base.raised_m;
                    }
                }
                (base.x_m, base.y_m) = (*x_m, *y_m);
                if let Some(r) = rotation_rad {
                    base.rotation_rad = *r;
                }
            }
            stand(load, to, group);
            done.tiers.extend([from, to]);
        }
        Edit::Swap { a, b } => {
            let (ka, kb) = (planned(ask, load, a)?, planned(ask, load, b)?);
            if a == b {
                return Err(EditFault::WithItself(a.clone()));
            }
            for id in [a, b] {
                free(load, locked, id)?;
                on_shelf(load, id)?;
            }
            let mut one = lift(&mut load.tiers[ka], a);
            let mut other = lift(&mut load.tiers[kb], b);
            if let (Some(p), Some(q)) = (one.first_mut(), other.first_mut()) {
                std::mem::swap(&mut p.x_m, &mut q.x_m);
                std::mem::swap(&mut p.y_m, &mut q.y_m);
            }
            stand(load, kb, one);
            stand(load, ka, other);
            done.tiers.extend([ka, kb]);
        }
        Edit::TakeOut { piece } => {
            let k = planned(ask, load, piece)?;
            free(load, locked, piece)?;
            for p in lift(&mut load.tiers[k], piece) {
                load.worth.value -= worth_of(ask, &p.piece);
                load.left_out.push(LeftOut {
                    piece: p.piece,
                    rule: BY_HAND.to_owned(),
                    why: "taken out by hand".to_owned(),
                    remedy: "Put it in again where there is room".to_owned(),
                });
            }
            load.left_out.sort_by(|a, b| a.piece.cmp(&b.piece));
            done.tiers.insert(k);
            done.left_out = true;
        }
        Edit::PutIn {
            piece,
            tier,
            x_m,
            y_m,
        } => {
            if let Some((k, _)) = find(load, piece) {
                return Err(EditFault::AlreadyIn {
                    piece: piece.clone(),
                    tier: load.tiers[k].name.clone(),
                });
            }
            if ask.studio.piece(piece).is_none() {
                return Err(EditFault::NoPiece(piece.clone()));
            }
            let k = tier_number(load, piece, tier)?;
            sound(piece, tier, &[*x_m, *y_m], true)?;
            let mut new = Placed {
                piece: piece.clone(),
                x_m: *x_m,
                y_m: *y_m,
                rotation_rad: glost_model::Angle::ZERO,
                supports: Vec::new(),
                on: None,
                raised_m: Length::ZERO,
                mind: Vec::new(),
                gap_m: Length::ZERO,
            };
            foot(ask, load, &mut new, tier)?;
            stand(load, k, vec![new]);
            load.left_out.retain(|l| &l.piece != piece);
            load.worth.value += worth_of(ask, piece);
            done.tiers.insert(k);
            done.left_out = true;
        }
        Edit::Lock { piece } => {
            planned(ask, load, piece)?;
            locked.insert(piece.clone());
        }
        Edit::Unlock { piece } => {
            planned(ask, load, piece)?;
            locked.remove(piece);
        }
    }
    Ok(done)
}

/// Number of the tier of a piece that goes.
fn planned(ask: &PlanAsk<'_>, load: &LoadPlan, piece: &PieceId) -> Result<usize, EditFault> {
    match find(load, piece) {
        Some((k, _)) => Ok(k),
        None if ask.studio.piece(piece).is_some() => Err(EditFault::NotPlanned(piece.clone())),
        None => Err(EditFault::NoPiece(piece.clone())),
    }
}

fn tier_number(load: &LoadPlan, piece: &PieceId, tier: &str) -> Result<usize, EditFault> {
    let found = load.tiers.iter().position(|t| t.name == tier);
    found.ok_or_else(|| {
        let names: Vec<&str> = load.tiers.iter().map(|t| t.name.as_str()).collect();
        EditFault::NoTier {
            piece: piece.clone(),
            asked: tier.to_owned(),
            known: if names.is_empty() {
                "none".to_owned()
            } else {
                names.join(", ")
            },
        }
    })
}

/// Whether neither the piece nor anything that it carries is locked.
fn free(load: &LoadPlan, locked: &BTreeSet<PieceId>, piece: &PieceId) -> Result<(), EditFault> {
    let Some((k, _)) = find(load, piece) else {
        return Ok(());
    };
    let tier = &load.tiers[k];
    if locked.contains(piece) {
        return Err(EditFault::Locked {
            piece: piece.clone(),
            tier: tier.name.clone(),
        });
    }
    let mut riders = with_riders(tier, piece).into_iter();
    match riders.find(|r| locked.contains(*r)) {
        Some(rider) => Err(EditFault::CarriesLocked {
            piece: piece.clone(),
            rider: rider.to_owned(),
            tier: tier.name.clone(),
        }),
        None => Ok(()),
    }
}

fn on_shelf(load: &LoadPlan, piece: &PieceId) -> Result<(), EditFault> {
    let found = find(load, piece).map(|(k, n)| (&load.tiers[k], &load.tiers[k].pieces[n]));
    match found.and_then(|(t, p)| Some((t, p.on.as_ref()?))) {
        Some((tier, on)) => Err(EditFault::StandsOn {
            piece: piece.clone(),
            on: on.words(),
            tier: tier.name.clone(),
        }),
        None => Ok(()),
    }
}

fn sound(piece: &PieceId, tier: &str, at: &[Length], turned: bool) -> Result<(), EditFault> {
    if turned && at.iter().all(|v| v.is_finite() && v.to_m().abs() < 10.0) {
        return Ok(());
    }
    Err(EditFault::NoPlace {
        piece: piece.clone(),
        tier: tier.to_owned(),
    })
}

/// Gives a piece the supports that it needs on a shelf.
fn foot(
    ask: &PlanAsk<'_>,
    load: &LoadPlan,
    placed: &mut Placed,
    tier: &str,
) -> Result<(), EditFault> {
    let found = footing(ask, load, &placed.piece).map_err(|why| EditFault::Footing {
        tier: tier.to_owned(),
        why,
    })?;
    placed.supports = found.supports;
    placed.raised_m = found.raised_m;
    placed.mind = found.mind;
    Ok(())
}

/// Stands a piece with what it carries on a tier, all over one another and turned alike.
fn stand(load: &mut LoadPlan, k: usize, mut group: Vec<Placed>) {
    if let Some((base, riders)) = group.split_first_mut() {
        for r in riders.iter_mut() {
            (r.x_m, r.y_m, r.rotation_rad) = (base.x_m, base.y_m, base.rotation_rad);
        }
    }
    load.tiers[k].pieces.append(&mut group);
    in_order(&mut load.tiers[k]);
}
