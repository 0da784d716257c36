//! Lots: ware that goes together or not at all, with the firings that suit it.

use std::collections::{BTreeMap, BTreeSet};

use glost_model::cone::Cone;
use glost_model::load::{FiringKind, LeftOut};
use glost_model::piece::Piece;
use glost_rules::value::gap_ware;
use glost_rules::{Case, Finding, Level, Need, fit};
use jiff::civil::Date;

use super::BacklogAsk;
use crate::ware::waits_for_set;

/// Bisque is fired within these, 010 to 1. Common practice, no source.
const BISQUE: std::ops::RangeInclusive<f64> = -9.0..=1.0;
/// Rules that warn of a cone that does not suit.
const OFF_CONE: [&str; 2] = ["glaze-cone", "clay-unripe"];

/// A piece that goes by itself, or a set.
#[derive(Debug, Clone)]
pub struct Lot<'a> {
    /// The pieces.
    pub pieces: Vec<&'a Piece>,
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// Cones that suit all of it, coolest first.
    pub cones: Vec<Cone>,
    /// Leaded (true) or lead-free (false) glazes; `None` when bare.
    pub leaded: Option<bool>,
    /// Its earliest due date.
    pub due: Option<Date>,
    /// Room that it takes, m³: what a full kiln runs out of.
    pub room_m3: f64,
    /// Supports that it needs at every cone that suits it.
    pub needs: Vec<Need>,
}

/// One piece put to all cones of its kind.
struct Suits {
    cones: BTreeSet<Cone>,
    refusal: Option<Finding>,
    needs: BTreeSet<Need>,
}

/// Splits the ware into lots and what no cone suits, with reasons.
pub fn lots<'a>(ask: &BacklogAsk<'a>) -> (Vec<Lot<'a>>, Vec<LeftOut>) {
    let mut out = Vec::new();
    let mut sets: BTreeMap<String, Vec<&Piece>> = BTreeMap::new();
    for piece in &ask.studio.pieces {
        // A piece of its own never shares a key with a set.
        let key = match &piece.group {
            Some(g) => format!("set {g}"),
            None => format!("piece {}", piece.id),
        };
        sets.entry(key).or_default().push(piece);
    }
    let mut lots = Vec::new();
    for pieces in sets.into_values() {
        match lot(ask, &pieces) {
            Ok(lot) => lots.push(lot),
            Err(mut why) => out.append(&mut why),
        }
    }
    (lots, out)
}

fn lot<'a>(ask: &BacklogAsk<'a>, pieces: &[&'a Piece]) -> Result<Lot<'a>, Vec<LeftOut>> {
    let all: Vec<(FiringKind, Suits)> = pieces.iter().map(|p| suits(ask, p)).collect();
    let refused = all.iter().zip(pieces);
    let refused: Vec<(&Finding, &&Piece)> = refused
        .filter_map(|((_, s), p)| Some((s.refusal.as_ref()?, p)))
        .collect();
    if let Some((_, first)) = refused.first() {
        let told = pieces.iter().map(|p| {
            let own = refused.iter().find(|(_, q)| q.id == p.id);
            own.map_or_else(|| waits_for_set(p, &first.id), |(f, _)| left_out(p, f))
        });
        return Err(told.collect());
    }
    let kind = all.first().map_or(FiringKind::Glaze, |a| a.0);
    let cones = all
        .iter()
        .map(|(_, s)| s.cones.clone())
        .reduce(|a, b| a.intersection(&b).copied().collect())
        .unwrap_or_default();
    if cones.is_empty() || all.iter().any(|a| a.0 != kind) {
        let told = pieces.iter().map(|p| LeftOut {
            piece: p.id.clone(),
            rule: "kept-together".to_owned(),
            why: "its set goes together, and no one firing suits all of it".to_owned(),
            remedy: "Part the set, or make its clays, glazes and slips agree".to_owned(),
        });
        return Err(told.collect());
    }
    let leads: Vec<bool> = pieces.iter().filter_map(|p| leaded(ask, p)).collect();
    Ok(Lot {
        kind,
        cones: cones.into_iter().collect(),
        leaded: leads.iter().copied().reduce(|a, b| a || b),
        due: pieces.iter().filter_map(|p| p.due).min(),
        room_m3: pieces.iter().map(|p| room(ask, p)).sum(),
        needs: all.into_iter().flat_map(|(_, s)| s.needs).collect(),
        pieces: pieces.to_vec(),
    })
}

/// Leaded as soon as one glaze is; the load planner parts ware in the same way.
fn leaded(ask: &BacklogAsk<'_>, piece: &Piece) -> Option<bool> {
    let glazes = piece.glazes.iter().filter_map(|g| ask.studio.glaze(g));
    glazes.map(|g| g.lead).reduce(|a, b| a || b)
}

/// Grown area times height with a shelf's share: thin ware takes room too.
fn room(ask: &BacklogAsk<'_>, piece: &Piece) -> f64 {
    let gap = ask.book.length(&gap_ware::RULE).to_m();
    grown(piece, gap) * (piece.height.to_m() + 0.03)
}

/// Least area of a piece grown by half a gap all round, m². Brunn-Minkowski: a shape grown by t
/// covers at least (√A + √π t)².
pub fn grown(piece: &Piece, gap_m: f64) -> f64 {
    (piece.widest.area().to_m2().sqrt() + std::f64::consts::PI.sqrt() * gap_m / 2.0).powi(2)
}

pub fn left_out(piece: &Piece, f: &Finding) -> LeftOut {
    LeftOut {
        piece: piece.id.clone(),
        rule: f.rule.to_owned(),
        why: f.why.clone(),
        remedy: f.remedy.clone(),
    }
}

/// The kind that a piece waits for, by its own state, and the cones that suit it: none that a rule
/// refuses, and none that a rule warns of while others are left.
fn suits(ask: &BacklogAsk<'_>, piece: &Piece) -> (FiringKind, Suits) {
    let kind = match piece.stage {
        glost_model::piece::Stage::Greenware => FiringKind::Bisque,
        glost_model::piece::Stage::Glazed => FiringKind::Glaze,
    };
    let candidates: Vec<Cone> = match kind {
        FiringKind::Glaze => Cone::all().collect(),
        FiringKind::Bisque => {
            let asked = piece.asked_cone;
            let asked = asked.filter(|c| BISQUE.contains(&c.position()));
            vec![asked.unwrap_or(ask.bisque)]
        }
    };
    let judged: Vec<(Cone, Vec<Finding>)> = candidates
        .into_iter()
        .map(|cone| {
            let case = Case {
                studio: ask.studio,
                book: ask.book,
                piece,
                cone,
                kind,
            };
            (cone, fit::findings(&case))
        })
        .collect();
    let refuses = |f: &&Finding| f.level == Level::Block;
    let may = judged
        .iter()
        .filter(|(_, all)| !all.iter().any(|f| refuses(&f)));
    let off = |all: &[Finding]| all.iter().filter(|f| OFF_CONE.contains(&f.rule)).count();
    let least_off = may.clone().map(|(_, all)| off(all)).min();
    let good: Vec<_> = may.filter(|(_, all)| Some(off(all)) == least_off).collect();
    let needs = good.iter().map(|(_, all)| {
        let needs = all.iter().filter_map(|f| f.need);
        needs.collect::<BTreeSet<Need>>()
    });
    let refusal = if good.is_empty() {
        // The cone that comes nearest speaks for all; what the slip asks for where that is as near,
        // else one that suits the glaze.
        let count = |all: &[Finding]| all.iter().filter(refuses).count();
        let asked = |c: &Cone| piece.asked_cone != Some(*c);
        let glaze = |all: &[Finding]| all.iter().any(|f| f.rule == OFF_CONE[0]);
        let nearest = judged
            .iter()
            .min_by_key(|(c, all)| (count(all), asked(c), glaze(all)));
        nearest.and_then(|(_, all)| all.iter().find(refuses).cloned())
    } else {
        None
    };
    let suits = Suits {
        cones: good.iter().map(|(c, _)| *c).collect(),
        refusal,
        needs: needs
            .reduce(|a, b| a.intersection(&b).copied().collect())
            .unwrap_or_default(),
    };
    (kind, suits)
}
