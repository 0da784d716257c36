//! What other pieces have, and how likely that makes a cause.

use super::weigh::{CLEAR, Reasons, SOME};
use super::{Facts, Group, Shared};

/// How likely a cause is held, in words: shares of a rank are no counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Belief {
    /// Hardly.
    Hardly,
    /// It may be.
    Maybe,
    /// It is likely.
    Likely,
    /// More likely than all others together.
    Most,
}

impl Belief {
    /// Of a share of all causes.
    pub(super) fn of(share: f64) -> Self {
        match share {
            s if s >= 0.5 => Self::Most,
            s if s >= 0.18 => Self::Likely,
            s if s >= 0.05 => Self::Maybe,
            _ => Self::Hardly,
        }
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Most => "most likely",
            Self::Likely => "likely",
            Self::Maybe => "may be",
            Self::Hardly => "little speaks for it",
        }
    }
}

impl Group {
    /// What those are that share it, and those that do not.
    fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Firing => ("in this firing", ""),
            Self::Tier => ("on this tier", "elsewhere in the kiln"),
            Self::Glaze => ("with this glaze", "with other glazes"),
            Self::Clay => ("of this clay", "of other clays"),
            Self::Maker => ("of this maker", "of others"),
        }
    }
}

/// Fewer than this are no evidence, whatever they have.
const LEAST: f64 = 0.2;

/// Adds what other pieces say of a cause whose pieces have these things in common.
pub fn look(facts: &Facts, groups: &[Group], r: &mut Reasons) {
    for shared in facts.others.iter().filter(|s| groups.contains(&s.group)) {
        let (here, elsewhere) = shared.group.words();
        let (hit, of) = shared.with;
        if shared.group == Group::Firing {
            if of >= 3 && 10 * hit >= 3 * of {
                r.speaks(
                    SOME,
                    format!("{} {here} {} it, too", count(hit, of), show(hit)),
                );
            } else if of >= 8 && 20 * hit <= of {
                let few = match hit {
                    0 => format!("none of {of} others"),
                    n => format!("only {}", count(n, of)),
                };
                r.speaks(-SOME, format!("{few} {here} {} it", show(hit.max(1))));
            }
            continue;
        }
        let (hit_else, of_else) = shared.without;
        let weight = weight(shared);
        if weight.abs() >= LEAST {
            let words = format!(
                "{} {here} {} it, and {hit_else} of {of_else} {elsewhere}",
                count(hit, of),
                show(hit)
            );
            r.speaks(weight, words);
        }
        let (hit, of) = shared.before;
        if of >= 3 && hit >= 2 && 10 * hit >= of {
            let words = format!("{} {here} showed it in other firings", count(hit, of));
            r.speaks(SOME, words);
        }
    }
}

fn count(hit: usize, of: usize) -> String {
    format!("{hit} of {of} others")
}

fn show(hit: usize) -> &'static str {
    if hit == 1 { "shows" } else { "show" }
}

/// Logarithm of how much more often those have it that share something. Half a piece is added to each side and few
/// faults count for less, so that a handful of pieces says little; where none of them has it, that only speaks where
/// one of them should have it by the others.
fn weight(s: &Shared) -> f64 {
    let ((hit, of), (hit_else, of_else)) = (s.with, s.without);
    let hits = (hit + hit_else) as f64;
    if of == 0 || of_else == 0 || hits == 0.0 {
        return 0.0;
    }
    let rate = |(hit, of): (usize, usize)| (hit as f64 + 0.5) / (of as f64 + 1.0);
    let ln = (rate(s.with) / rate(s.without)).ln().clamp(-CLEAR, CLEAR);
    if hit == 0 {
        let wanted = of as f64 * hit_else as f64 / of_else as f64;
        return if wanted >= 1.0 { ln.min(0.0) } else { 0.0 };
    }
    ln * hits / (hits + 3.0)
}
