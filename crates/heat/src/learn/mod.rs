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
mod weigh;

pub use curve::NoUse;
pub use foretell::{Ahead, Told, foretell};
pub use known::{COUNT, KNOWN, Known, place};
pub use late::Late;
pub use learnt::{Foretold, LAST, Learnt, Looked, Missed, Parameter, Scatter, VERSION};
pub use past::Past;
pub use taught::belief_about;
pub use weigh::{Weighed, learn_and_weigh};

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
    let mut going = Going::nothing();
    for past in in_order_of_time(pasts) {
        going.take(past, upkeep, threads);
        if !watch(going.learnt.firings.len()) {
            break;
        }
    }
    going.over(upkeep)
}

fn in_order_of_time(pasts: &[Past]) -> Vec<&Past> {
    let mut order: Vec<&Past> = pasts.iter().collect();
    order.sort_by(|a, b| (a.at, &a.id).cmp(&(b.at, &b.id)));
    order
}

/// On the way from firing to firing.
#[derive(Debug, Clone)]
struct Going {
    learnt: Learnt,
    /// When the last firing began.
    before: Option<Timestamp>,
}

impl Going {
    fn nothing() -> Self {
        Self {
            learnt: Learnt::nothing(),
            before: None,
        }
    }

    /// One more firing, after what was renewed since the one before is forgotten.
    fn take(&mut self, past: &Past, upkeep: &[Upkeep], threads: usize) {
        let since = |e: &Upkeep| self.before.is_none_or(|b| e.at > b);
        for entry in upkeep.iter().filter(|e| since(e) && e.at <= past.at) {
            self.learnt.renew(entry.what);
        }
        self.before = Some(past.at);
        self.learnt.take(past, threads);
    }

    /// What stays after the last firing.
    fn over(mut self, upkeep: &[Upkeep]) -> Learnt {
        let done = |e: &&Upkeep| self.before.is_some_and(|b| e.at > b);
        for entry in upkeep.iter().filter(done) {
            self.learnt.renew(entry.what);
        }
        self.learnt
    }
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
