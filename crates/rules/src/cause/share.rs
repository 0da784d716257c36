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

/// Adds what other pieces say of a cause whose pieces have these things in common.
pub fn look(facts: &Facts, groups: &[Group], r: &mut Reasons) {
    for shared in facts.others.iter().filter(|s| groups.contains(&s.group)) {
        let (here, elsewhere) = shared.group.words();
        let (hit, of) = shared.with;
        let count = |hit: usize, of: usize| format!("{hit} of {of}");
        if shared.group == Group::Firing {
            if of >= 3 && 10 * hit >= 3 * of {
                r.speaks(
                    SOME,
                    format!("{} others {here} have it, too", count(hit, of)),
                );
            } else if of >= 8 && 20 * hit <= of {
                r.speaks(-SOME, format!("{} others {here} have it", count(hit, of)));
            }
            continue;
        }
        let (hit_else, of_else) = shared.without;
        if of > 0 && of_else > 0 && hit + hit_else > 0 {
            let words = format!(
                "{} others {here} have it, and {} {elsewhere}",
                count(hit, of),
                count(hit_else, of_else)
            );
            r.speaks(weight(shared), words);
        }
        let (hit, of) = shared.before;
        if of >= 3 && hit >= 2 && 10 * hit >= of {
            r.speaks(
                SOME,
                format!("{} {here} had it in other firings, too", count(hit, of)),
            );
        }
    }
}

/// Logarithm of how much more often those have it that share something, with half a piece added to each side so that
/// few pieces say little.
fn weight(s: &Shared) -> f64 {
    let rate = |(hit, of): (usize, usize)| (hit as f64 + 0.5) / (of as f64 + 1.0);
    (rate(s.with) / rate(s.without)).ln().clamp(-CLEAR, CLEAR)
}
