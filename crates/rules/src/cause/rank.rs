//! Causes in their order, and causes that several pieces have in common.

use glost_model::book::FaultKind;

use super::share::{self, Belief};
use super::weigh::{Reason, Reasons, SOME, Side};
use super::{Cause, Facts, all, tell};

/// Something that stands in no table. It always comes last.
pub const SOMETHING_ELSE: Cause = Cause {
    id: "something-else",
    title: "Something else",
    faults: &[],
    born: super::Born::Hot,
    shared: &[],
    change: "Write down what you see and what you think. One change at a time, and look again",
    source: "no table knows every fault",
    look: |_, _, _| {},
};

/// How usual it is that nothing in the table is the cause.
const ELSE: f64 = 0.0;

/// A cause with its rank.
#[derive(Debug, Clone)]
pub struct Ranked {
    /// Which.
    pub cause: &'static Cause,
    /// Its share among all causes of the fault, 0 to 1: for the order, nobody has counted it.
    pub share: f64,
    /// The same in words.
    pub belief: Belief,
    /// What speaks for it, against it, and what is not known, the weightiest first.
    pub reasons: Vec<Reason>,
}

impl Ranked {
    /// Reasons of one side.
    pub fn of(&self, side: Side) -> impl Iterator<Item = &str> {
        self.reasons
            .iter()
            .filter(move |r| r.side == side)
            .map(|r| r.words.as_str())
    }
}

/// Cracks of any kind are looked at together.
fn family(kind: FaultKind) -> FaultKind {
    if kind.is_crack() {
        FaultKind::Crack
    } else {
        kind
    }
}

/// Causes of a fault, the likeliest first, [`SOMETHING_ELSE`] last. The same facts give the same answer.
pub fn rank(facts: &Facts, kind: FaultKind) -> Vec<Ranked> {
    let wanted = family(kind);
    let scored = all().filter_map(|cause| {
        let usual = cause.faults.iter().find(|f| f.0 == wanted)?.1;
        let mut r = Reasons::default();
        (cause.look)(facts, kind, &mut r);
        share::look(facts, cause.shared, &mut r);
        tell::look(cause, facts, kind, &mut r);
        let mut reasons = r.0;
        reasons.sort_by(|a, b| b.weight.abs().total_cmp(&a.weight.abs()));
        let score = usual + reasons.iter().map(|r| r.weight).sum::<f64>();
        Some((cause, score, reasons))
    });
    let mut all: Vec<_> = scored.collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    all.push((&SOMETHING_ELSE, ELSE, Vec::new()));
    let sum: f64 = all.iter().map(|c| c.1.exp()).sum();
    all.into_iter()
        .map(|(cause, score, reasons)| {
            let share = score.exp() / sum;
            let seen = reasons.iter().any(|r| r.weight >= SOME);
            // What is only usual leads the list, and nothing that was seen makes it more.
            let most = if seen { Belief::Most } else { Belief::Likely };
            Ranked {
                cause,
                share,
                belief: Belief::of(share).min(most),
                reasons,
            }
        })
        .collect()
}

/// A cause that several faults have in common.
#[derive(Debug, Clone)]
pub struct Common {
    /// Which.
    pub cause: &'static Cause,
    /// Faults that it explains, as numbers of what was asked about.
    pub explains: Vec<usize>,
}

/// A cause explains a fault when it is at least so likely as the likeliest of that fault times this. Proposed here, no
/// source.
const NEAR_ENOUGH: f64 = 0.6;

/// Puts faults together that one cause may explain: over and over the cause that is likeliest for all that is left,
/// with every fault for which it is likeliest or nearly so. Each fault comes once.
pub fn common(ranked: &[Vec<Ranked>]) -> Vec<Common> {
    let mut left: Vec<usize> = (0..ranked.len()).collect();
    let mut out = Vec::new();
    while !left.is_empty() {
        let share = |i: usize, id: &str| {
            let of = ranked.get(i).into_iter().flatten();
            of.filter(|r| r.cause.id == id)
                .map(|r| r.share)
                .sum::<f64>()
        };
        let likeliest = |i: usize| {
            let of = ranked.get(i).into_iter().flatten();
            of.map(|r| r.share).fold(0.0, f64::max)
        };
        let explained = |id: &str| -> Vec<usize> {
            let near = |i: &usize| {
                let s = share(*i, id);
                s > 0.0 && s >= likeliest(*i) * NEAR_ENOUGH
            };
            left.iter().copied().filter(near).collect()
        };
        let weight = |id: &str| explained(id).iter().map(|i| share(*i, id)).sum::<f64>();
        // The first of several that weigh the same.
        let best = all()
            .chain(std::iter::once(&SOMETHING_ELSE))
            .map(|c| (c, weight(c.id)))
            .filter(|c| c.1 > 0.0)
            .reduce(|a, b| if b.1 > a.1 { b } else { a });
        let Some((cause, _)) = best else { break };
        let explains = explained(cause.id);
        left.retain(|i| !explains.contains(i));
        out.push(Common { cause, explains });
    }
    out
}
