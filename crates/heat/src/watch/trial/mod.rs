//! How soon faults are told of, and how often there is none: firings of kilns unlike the model, watched as they come.
//!
//! Each kiln is drawn, fired and learnt from some times. Then the same kiln has other days ahead of it, clean ones and
//! ones with a fault planted at a drawn time; each log is given to two watches, one that knows nothing of the kiln but
//! its description and one that has learnt. A third has learnt from, and is given, nothing but what the sensor showed.

mod bound;
#[cfg(test)]
mod looks;
mod one;
mod plant;
mod sums;
#[cfg(test)]
mod tests;

pub use bound::at_most;
pub use plant::{PLANTS, Plant};
pub use sums::{Clean, Found, clean, found};

use glost_model::Span;

use super::AlarmKind;
use crate::spread::in_order;

/// How to try.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ask {
    /// How many kilns.
    pub kilns: usize,
    /// Clean firings of each.
    pub clean: usize,
    /// Firings of each with each fault.
    pub faults: usize,
    /// Clean firings of each that are learnt from before.
    pub learnt: usize,
    /// The same seed draws the same kilns, firings and faults.
    pub seed: u64,
    /// Worked on at the same time; the answer is the same whatever it is.
    pub threads: usize,
}

/// What a watch begins with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// The description of the kiln.
    New,
    /// What was learnt from its firings.
    Learnt,
    /// What was learnt from logs of the sensor alone, and is given such a log: no set point, duty or meter.
    SensorAlone,
}

impl Way {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::New, Self::Learnt, Self::SensorAlone];
}

/// An alarm that began.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rang {
    /// Which.
    pub kind: AlarmKind,
    /// Since the kiln was switched on.
    pub after: Span,
    /// What it tells of really was so: a kiln that is on its way past its cone was one.
    pub so: bool,
}

/// A firing that was watched.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    /// Which kiln.
    pub kiln: usize,
    /// How it was watched.
    pub way: Way,
    /// Number of the fault in [`PLANTS`], and when it was planted; nothing in a clean one.
    pub fault: Option<(usize, Span)>,
    /// What rang, in order of time. With a fault, no longer than until the right alarm.
    pub rang: Vec<Rang>,
}

/// All of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Trial {
    /// Every firing, as each watch saw it.
    pub watched: Vec<Watched>,
    /// Clean firings that are not among them since the kiln could not do its programme: it was not sound.
    pub gave_up: usize,
    /// What could not be watched, and why.
    pub refused: Vec<String>,
}

/// Tries it.
pub fn trial(ask: &Ask) -> Trial {
    let mut all = Trial::default();
    for one in in_order(ask.kilns, ask.threads, |i| one::kiln(ask, i)) {
        all.watched.extend(one.watched);
        all.gave_up += one.gave_up;
        all.refused.extend(one.refused);
    }
    all
}
