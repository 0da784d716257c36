//! Why a fault came about: causes ranked from what is known of a piece, its place, its plan and its log.
//!
//! Each cause is an item with its faults, what is looked at, what to change and a source. A rank is the logarithm of
//! how usual a cause is for that fault, with weights added for each fact that speaks for it or against it
//! (`weigh`); the shares that come of it are for the order and not for betting: nobody has counted them.

mod facts;
mod gas;
mod glaze;
mod heat;
mod hold;
mod making;
mod pace;
mod place;
mod quartz;
mod rank;
mod say;
mod share;
mod tell;
#[cfg(test)]
mod tests;
mod water;
mod weigh;

use glost_model::book::FaultKind;
use glost_model::shown::Shown;

pub use facts::{
    Bound, Earlier, Facts, Group, Heat, HeatBy, Near, Opened, PieceFacts, PlaceFacts, Shared, Step,
};
pub use pace::Paces;
pub use rank::{Common, Ranked, SOMETHING_ELSE, common, rank};
pub use share::Belief;
pub use weigh::{Reason, Side};

use weigh::Reasons;

/// When a fault is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Born {
    /// Before the kiln was on.
    Before,
    /// While it got hotter, before glaze melts.
    Heating,
    /// At the top, or it does not matter.
    Hot,
    /// While it cooled.
    Cooling,
}

/// One cause.
#[derive(Debug, Clone, Copy)]
pub struct Cause {
    /// Short name.
    pub id: &'static str,
    /// In words, with its numbers to be filled in: see [`Self::title`].
    title: &'static str,
    /// Faults that it makes, with how usual it is for each: see `weigh`. Cracks of any kind stand under
    /// [`FaultKind::Crack`].
    pub faults: &'static [(FaultKind, f64)],
    /// When it makes them; for cracks their edges tell.
    pub born: Born,
    /// What pieces that share it have in common.
    pub shared: &'static [Group],
    /// What to change, likewise: see [`Self::change`].
    change: &'static str,
    /// Who says so.
    pub source: &'static str,
    look: fn(&Facts, FaultKind, &mut Reasons),
}

impl Cause {
    /// In words.
    pub fn title(&self, shown: Shown) -> String {
        say::fill(self.title, shown)
    }

    /// What to change.
    pub fn change(&self, shown: Shown) -> String {
        say::fill(self.change, shown)
    }
}

/// Who says so where nobody is known to.
const PRACTICE: &str = "common practice, no source";

/// Every cause. Where two rank alike, the first comes first.
pub fn all() -> impl Iterator<Item = &'static Cause> {
    [
        heat::ALL,
        hold::ALL,
        water::ALL,
        quartz::ALL,
        gas::ALL,
        glaze::ALL,
        place::ALL,
        making::ALL,
    ]
    .into_iter()
    .flatten()
}

/// What must be said of a fault whatever its cause.
pub fn caution(kind: FaultKind) -> Option<&'static str> {
    match kind {
        FaultKind::Shivering => {
            Some("Slivers are sharp and come off later, too: this piece is not for food or drink.")
        }
        FaultKind::Explosion => Some(
            "Shards lie in grooves and on elements. Clean them out cold, with the kiln isolated, before it is fired again.",
        ),
        FaultKind::StiltMarks | FaultKind::Plucking => {
            Some("Points and chips cut: gloves and glasses before anything is rubbed down.")
        }
        FaultKind::Stuck => Some("Chips fly: gloves and glasses before it is freed."),
        FaultKind::CrackCooling | FaultKind::Crack => Some(
            "A crack may go on running: handle it as if it broke in the hand, and give it nothing hot to hold.",
        ),
        _ => None,
    }
}
