//! What was learnt, as plans carry it: in the kiln that they are made for.

use glost_model::kiln::Kiln;
use glost_model::taught::Taught;

use super::known::{COUNT, KNOWN, POWER};
use super::learnt::{Learnt, VERSION};
use crate::doubt::{Belief, PRIORS, Prior};
use crate::kiln::KilnInput;

impl Learnt {
    /// For plans; nothing when no firing could be learnt from.
    pub fn taught(&self, edition: u32) -> Option<Taught> {
        let firings = u32::try_from(self.used()).unwrap_or(u32::MAX);
        (firings > 0).then(|| Taught {
            version: VERSION,
            edition,
            firings,
            ids: self.ids.clone(),
            mean: self.mean.clone(),
            covariance: self.ahead(),
            ageing: self.ageing,
            foretold: self.foretold().map(|f| f.words()).unwrap_or_default(),
        })
    }
}

/// What is believed of a kiln beside where its input puts it: what its firings left open, or the priors.
pub fn belief_about(kiln: &Kiln) -> Belief {
    let taught = kiln.taught.as_deref().and_then(readable);
    taught.unwrap_or_else(|| Belief::of(&PRIORS))
}

/// What was taught, around the kiln that it was taught of; nothing when it is of another way of learning or no normal law.
fn readable(taught: &Taught) -> Option<Belief> {
    let ids = KNOWN.iter().map(|k| k.prior.id);
    let own = taught.version == VERSION
        && ids.eq(taught.ids.iter().map(String::as_str))
        && taught.mean.len() == COUNT
        && taught.mean.iter().all(|m| m.is_finite());
    let priors: Vec<Prior> = KNOWN.iter().map(|k| k.prior).collect();
    Belief::new(&priors, &[0.0; COUNT], &taught.covariance).filter(|_| own)
}

/// Moves a kiln's input to where its firings say that it is.
pub(crate) fn apply(kiln: &Kiln, input: &mut KilnInput) {
    let Some(taught) = kiln.taught.as_deref().filter(|t| readable(t).is_some()) else {
        return;
    };
    for (i, (known, mean)) in KNOWN.iter().zip(&taught.mean).enumerate() {
        let read_since = if i == POWER {
            aged(taught.ageing, input.ageing)
        } else {
            0.0
        };
        known.prior.move_kiln(input, mean + read_since);
    }
}

/// What somebody read off the elements since is in the kiln's record; it must not count twice.
pub(super) fn aged(then: f64, now: f64) -> f64 {
    if then > 0.0 && now > 0.0 {
        (now / then).ln()
    } else {
        0.0
    }
}
