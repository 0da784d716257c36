//! Proof of how many firings are needed at least.
//!
//! A firing has one kind and one cone. So ware whose cones all lie within one stretch of the ladder
//! and ware whose cones all lie within another never share one, and what the two need adds up. The
//! ladder is cut where that gives most. Leaded and lead-free ware add up in the same way.

use glost_model::cone::Cone;
use glost_model::load::FiringKind;

use super::BacklogAsk;
use super::capacity::kilns_full;
use super::lots::Lot;

/// One part of the proof: ware that shares no firing with that of other parts.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// Its cones lie between this
    pub from: Cone,
    /// and this.
    pub to: Cone,
    /// Leaded or lead-free, where that parts it from other ware.
    pub leaded: Option<bool>,
    /// How many pieces.
    pub pieces: usize,
    /// How many kilns full they are at least, by areas, counts, heights, masses and supports.
    pub full: f64,
    /// Firings that they need.
    pub firings: usize,
}

/// The proof.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Least {
    /// No plan has fewer firings than this for the ware that can go.
    pub firings: usize,
    /// What it is the sum of.
    pub parts: Vec<Part>,
}

/// The best proof for these lots.
pub fn least(ask: &BacklogAsk<'_>, lots: &[&Lot<'_>]) -> Least {
    let mut proof = Least::default();
    for kind in [FiringKind::Bisque, FiringKind::Glaze] {
        let of: Vec<&Lot<'_>> = lots.iter().copied().filter(|l| l.kind == kind).collect();
        proof.parts.extend(ladder(ask, kind, &of));
    }
    proof.firings = proof.parts.iter().map(|p| p.firings).sum();
    proof
}

/// Cuts the ladder of cones where the parts need most.
fn ladder(ask: &BacklogAsk<'_>, kind: FiringKind, lots: &[&Lot<'_>]) -> Vec<Part> {
    let mut marks: Vec<Cone> = lots
        .iter()
        .filter_map(|l| l.cones.last().copied())
        .collect();
    marks.sort_unstable();
    marks.dedup();
    // best[j]: the best proof from cones up to the j-th mark alone.
    let mut best: Vec<Vec<Part>> = vec![Vec::new()];
    for (j, to) in marks.iter().enumerate() {
        let mut now: Vec<Part> = Vec::new();
        let mut before: Option<(usize, Vec<Part>)> = None;
        for i in (0..=j).rev() {
            let above = i.checked_sub(1).map(|k| marks[k]);
            let inside = |l: &&&Lot<'_>| {
                l.cones
                    .first()
                    .is_some_and(|c| above.is_none_or(|a| *c > a))
                    && l.cones.last().is_some_and(|c| c <= to)
            };
            let of: Vec<&Lot<'_>> = lots.iter().filter(inside).copied().collect();
            // A longer stretch that holds no more ware needs no more.
            let parts = match before.take() {
                Some((n, parts)) if n == of.len() => parts,
                _ => window(ask, kind, &of),
            };
            let with: Vec<Part> = best[i].iter().chain(&parts).cloned().collect();
            if need(&with) >= need(&now) {
                now = with;
            }
            before = Some((of.len(), parts));
        }
        best.push(now);
    }
    best.pop().unwrap_or_default()
}

fn need(parts: &[Part]) -> usize {
    parts.iter().map(|p| p.firings).sum()
}

/// The need of ware whose cones lie side by side: as one, or leaded and lead-free apart.
fn window(ask: &BacklogAsk<'_>, kind: FiringKind, lots: &[&Lot<'_>]) -> Vec<Part> {
    let whole = part(ask, kind, lots, None);
    let apart: Vec<Part> = [false, true]
        .into_iter()
        .filter_map(|lead| {
            let of: Vec<&Lot<'_>> = lots
                .iter()
                .copied()
                .filter(|l| l.leaded == Some(lead))
                .collect();
            part(ask, kind, &of, Some(lead))
        })
        .collect();
    let whole: Vec<Part> = whole.into_iter().collect();
    if need(&apart) > need(&whole) {
        apart
    } else {
        whole
    }
}

fn part(
    ask: &BacklogAsk<'_>,
    kind: FiringKind,
    lots: &[&Lot<'_>],
    leaded: Option<bool>,
) -> Option<Part> {
    let from = lots.iter().filter_map(|l| l.cones.first()).min()?;
    let to = lots.iter().filter_map(|l| l.cones.last()).max()?;
    let full = kilns_full(ask, kind, lots).filter(|f| f.is_finite());
    let full = full.unwrap_or(0.0).max(0.0);
    Some(Part {
        kind,
        from: *from,
        to: *to,
        leaded,
        pieces: lots.iter().map(|l| l.pieces.len()).sum(),
        full,
        // The solver is good to far less than this.
        firings: ((full - 1e-6).ceil() as usize).max(1),
    })
}
