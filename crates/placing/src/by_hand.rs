//! What a plan says of ware that somebody placed by hand: supports, cautions, worth and gaps as the
//! planner would have stated them. Whether it may stand there is the judge's matter.

use std::collections::{BTreeMap, BTreeSet};

use glost_model::Length;
use glost_model::load::{LoadPlan, Placed};
use glost_model::piece::{Piece, PieceId};
use glost_rules::{Case, Level, Need, fit};

use crate::assemble::with_packs;
use crate::change::{ChangeError, levels};
use crate::engine::{Body, Pose, free_gap};
use crate::plan::PlanAsk;
use crate::ware;

/// How a piece stands on a shelf by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Footing {
    /// Names of the supports under it, lowest first.
    pub supports: Vec<String>,
    /// Sum of their heights, m.
    pub raised_m: Length,
    /// What the loader should mind about it, in words.
    pub mind: Vec<String>,
}

/// Why a piece cannot be given what it has to stand on.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum FootingError {
    /// No such piece.
    #[error("the studio has no piece '{0}': check its slip")]
    NoPiece(PieceId),
    /// The stock has none left that does.
    #[error(
        "{piece} needs a {support} that fits its foot and mass, and none is left: take ware out that stands on one, or add such supports to the furniture"
    )]
    NoSupport {
        /// The piece.
        piece: PieceId,
        /// What it needs.
        support: &'static str,
    },
}

fn case<'a>(ask: &PlanAsk<'a>, piece: &'a Piece) -> Case<'a> {
    Case {
        studio: ask.studio,
        book: ask.book,
        piece,
        cone: ask.cone,
        kind: ask.kind,
    }
}

/// The supports that the rules ask for under a piece, out of those that the load leaves in stock.
///
/// # Errors
/// See [`FootingError`]. Ware that may not be fired gets its footing all the same.
pub fn footing(ask: &PlanAsk<'_>, from: &LoadPlan, piece: &str) -> Result<Footing, FootingError> {
    let found = ask
        .studio
        .piece(piece)
        .ok_or_else(|| FootingError::NoPiece(piece.to_owned()))?;
    let findings = fit::findings(&case(ask, found));
    let needs: BTreeSet<Need> = findings.iter().filter_map(|f| f.need).collect();
    let owned = ask.studio.furniture.supports.iter();
    let mut stock: BTreeMap<&str, u16> = owned.map(|s| (s.name.as_str(), s.count)).collect();
    for name in from.placed().flat_map(|(_, p)| &p.supports) {
        if let Some(n) = stock.get_mut(name.as_str()) {
            *n = n.saturating_sub(1);
        }
    }
    let list = ware::supports(ask, found, &needs, &mut stock).map_err(|support| {
        FootingError::NoSupport {
            piece: piece.to_owned(),
            support,
        }
    })?;
    let warned = findings.iter().filter(|f| f.level == Level::Warn);
    Ok(Footing {
        supports: list.iter().map(|s| s.name.clone()).collect(),
        raised_m: list.iter().map(|s| s.height).sum(),
        mind: warned.map(|f| format!("{}. {}", f.why, f.remedy)).collect(),
    })
}

/// What a piece is worth in a load; nothing when the studio does not have it.
pub fn worth_of(ask: &PlanAsk<'_>, piece: &str) -> f64 {
    ask.studio.piece(piece).map_or(0.0, |p| ware::worth(ask, p))
}

/// States anew how far each piece of some tiers is from its nearest neighbour, wall or post.
/// Ware that overlaps another has no gap; ware that the studio does not have keeps what was stated.
///
/// # Errors
/// A plan that cannot be taken up.
pub fn restate_gaps(
    ask: &PlanAsk<'_>,
    load: &mut LoadPlan,
    tiers: &BTreeSet<usize>,
) -> Result<(), ChangeError> {
    let kiln = ask
        .studio
        .kiln(&load.kiln)
        .ok_or_else(|| ChangeError::NoKiln(load.kiln.clone()))?;
    let levels = levels(ask, kiln, load)?;
    for &k in tiers {
        let (Some(tier), Some(level)) = (load.tiers.get_mut(k), levels.get(k)) else {
            continue;
        };
        let packs = tier.cone_packs.iter();
        let packs = packs.map(|p| [p.x_m.to_m(), p.y_m.to_m()]).collect();
        let shelf = with_packs(ask, kiln, level, packs);
        let lowest: Vec<(usize, Body, Pose)> = tier
            .pieces
            .iter()
            .enumerate()
            .filter(|(_, p)| p.on.is_none())
            .filter_map(|(n, p)| {
                let pose = [p.x_m.to_m(), p.y_m.to_m(), p.rotation_rad.to_rad()];
                Some((n, body(ask, p)?, pose))
            })
            .collect();
        let bodies: Vec<&Body> = lowest.iter().map(|(_, b, _)| b).collect();
        let poses: Vec<Pose> = lowest.iter().map(|(.., p)| *p).collect();
        let gaps: Vec<(usize, f64)> = lowest
            .iter()
            .enumerate()
            .map(|(i, (n, ..))| (*n, free_gap(&shelf.room, &bodies, &poses, i)))
            .collect();
        for (n, gap) in gaps {
            if let Some(p) = tier.pieces.get_mut(n) {
                p.gap_m = Length::m(gap);
            }
        }
        // What stands on a piece has the gap of the lowest: it lies within its outline.
        let mut of_lowest = None;
        for p in &mut tier.pieces {
            match of_lowest {
                Some(gap) if p.on.is_some() => p.gap_m = gap,
                _ => of_lowest = Some(p.gap_m),
            }
        }
    }
    Ok(())
}

/// The discs of a placed piece.
fn body(ask: &PlanAsk<'_>, placed: &Placed) -> Option<Body> {
    let piece = ask.studio.piece(&placed.piece)?;
    let owned = &ask.studio.furniture.supports;
    let list: Vec<_> = placed
        .supports
        .iter()
        .filter_map(|name| owned.iter().find(|s| &s.name == name))
        .collect();
    Some(ware::make(ask, &case(ask, piece), piece, &list, Vec::new()).body)
}
