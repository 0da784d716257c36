//! Learning a kiln from its own firings.
//!
//! A handful of parameters, those of [`crate::doubt::PRIORS`], are fitted to logs, witness cones and meter. Firings are
//! taken in order of time. Before each, what is known is a normal law; the firing is foretold by it, and how far off
//! that was is kept: it is an error on a firing left out. Then the firing is fitted together with what was known, by
//! Gauss and Newton's method over the simulation, with misses that are far out counting less. Between firings each
//! parameter walks on a little, so that newer firings count more; what is off on one day only is told apart from what
//! stays. A firing that the model cannot explain, or that would move the kiln further than kilns move, is not used,
//! unless the next one says the same.

mod curve;
mod feature;
mod fit;
mod foretell;
mod known;
mod late;
mod learnt;
mod model;
mod past;
mod take;
pub(crate) mod taught;
#[cfg(test)]
mod tests;
pub mod trial;
pub mod wear;

pub use curve::NoUse;
pub use foretell::{Ahead, Told, foretell};
pub use known::{COUNT, KNOWN, Known, place};
pub use late::Late;
pub use learnt::{Foretold, LAST, Learnt, Looked, Missed, Parameter, Scatter, VERSION};
pub use past::Past;
pub use taught::belief_about;

use glost_model::book::upkeep::{Upkeep, Wearing};
use jiff::Timestamp;

/// Learns from all firings of a kiln, in whatever order they come. Of `upkeep`, new elements and new sensors count:
/// what was learnt of the old ones is forgotten. The answer is the same whatever the number of threads.
pub fn learn(pasts: &[Past], upkeep: &[Upkeep], threads: usize) -> Learnt {
    learn_watched(pasts, upkeep, threads, &mut |_| true)
}

/// The same, told of after each firing by how many were looked at; answering false ends it with those.
pub fn learn_watched(
    pasts: &[Past],
    upkeep: &[Upkeep],
    threads: usize,
    watch: &mut dyn FnMut(usize) -> bool,
) -> Learnt {
    let mut order: Vec<&Past> = pasts.iter().collect();
    order.sort_by(|a, b| (a.at, &a.id).cmp(&(b.at, &b.id)));
    let mut learnt = Learnt::nothing();
    let mut before: Option<Timestamp> = None;
    for past in order {
        for entry in upkeep {
            let since = before.is_none_or(|b| entry.at > b);
            if since && entry.at <= past.at {
                learnt.renew(entry.what);
            }
        }
        before = Some(past.at);
        learnt.take(past, threads);
        if !watch(learnt.firings.len()) {
            break;
        }
    }
    let done = |e: &&Upkeep| before.is_some_and(|b| e.at > b);
    for entry in upkeep.iter().filter(done) {
        learnt.renew(entry.what);
    }
    learnt
}

impl Learnt {
    /// Forgets what was learnt of a part that is replaced.
    pub fn renew(&mut self, what: Wearing) {
        match what {
            Wearing::Elements => {
                for i in known::OF_ELEMENTS {
                    self.forget(i);
                }
            }
            Wearing::Sensor => self.forget(known::SENSOR),
            Wearing::Resistance | Wearing::Relays | Wearing::Shelves => {}
        }
    }

    fn forget(&mut self, which: usize) {
        let Some(known) = KNOWN.get(which) else {
            return;
        };
        if let Some(m) = self.mean.get_mut(which) {
            *m = 0.0;
        }
        for (i, row) in self.covariance.iter_mut().enumerate() {
            for (k, v) in row.iter_mut().enumerate() {
                if i == which || k == which {
                    *v = if i == k {
                        known.prior.width.powi(2)
                    } else {
                        0.0
                    };
                }
            }
        }
        self.doubted = None;
    }
}
