//! Many firings: a backlog dealt out over kilns and days, in as few or as cheap firings as can be found,
//! with a proof of how many are needed at least.
//!
//! Ware is dealt out greedily, each firing filled by the load planner from all that still waits;
//! then firings are emptied into one another, moved to other kilns and joined. Furniture is shared:
//! firings whose shelves, posts or supports are not enough for both follow one another.

mod better;
mod capacity;
mod cones;
mod deal;
mod flat;
mod flow;
mod heights;
mod least;
mod lots;
mod state;
mod stock;
mod when;

use glost_model::cone::Cone;
use glost_model::load::{LeftOut, LoadPlan};
use glost_model::piece::PieceId;
use glost_model::studio::Studio;
use glost_model::{Money, Span};
use glost_rules::RuleBook;
use jiff::ZonedDateTime;
use jiff::civil::Date;

pub use flow::firings;
pub use least::{Least, Part};

use crate::PlanError;

/// What is sought once due dates are met.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aim {
    /// As few firings as can be, then cheap ones.
    Fewest,
    /// Cheap firings, then few.
    Cheapest,
}

/// What is asked.
#[derive(Debug, Clone, Copy)]
pub struct BacklogAsk<'a> {
    /// The studio with its ware, furniture and hours.
    pub studio: &'a Studio,
    /// Its rules.
    pub book: &'a RuleBook,
    /// Names of the kilns that may be fired.
    pub kilns: &'a [String],
    /// Before this nothing is loaded. Its time zone is that of all times.
    pub from: &'a ZonedDateTime,
    /// What is sought.
    pub aim: Aim,
    /// Cone of bisque whose slip asks for none.
    pub bisque: Cone,
    /// The same seed and rounds give the same firings.
    pub seed: u64,
    /// How many improvements to try once all ware is dealt out.
    pub rounds: u32,
}

/// What a firing takes, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// From the start to the end of the hold at the peak.
    pub peak: Span,
    /// From the start until the kiln may be opened.
    pub open: Span,
    /// What its energy costs.
    pub cost: Money,
    /// The kiln can do it.
    pub fit: bool,
}

/// How carefully a firing is to be foreseen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Care {
    /// For the search: what another load of that kind took will do.
    About,
    /// For the answer.
    Exact,
}

/// Foresees the firing of a load, or says in words why it cannot be known.
pub type Foresee<'f> = dyn FnMut(&LoadPlan, Care) -> Result<Course, String> + 'f;

/// When the people of the studio do what.
#[derive(Debug, Clone, PartialEq)]
pub struct Times {
    /// Loading begins.
    pub load: ZonedDateTime,
    /// The kiln is switched on.
    pub start: ZonedDateTime,
    /// The hold at the peak is over; somebody should be there.
    pub peak: ZonedDateTime,
    /// Somebody is there for the peak.
    pub attended: bool,
    /// Cool enough, and somebody there to open it.
    pub open: ZonedDateTime,
    /// Unloaded: the ware can be had, the kiln is free.
    pub done: ZonedDateTime,
}

/// One firing.
#[derive(Debug, Clone, PartialEq)]
pub struct Firing {
    /// The load, planned for this kiln and cone.
    pub load: LoadPlan,
    /// What it takes.
    pub course: Course,
    /// When.
    pub times: Times,
}

/// A piece that is fired but not on the day it is wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Late {
    /// Which piece.
    pub piece: PieceId,
    /// Its due date.
    pub due: Date,
    /// The day on which it can be had.
    pub done: Date,
    /// Why, in words.
    pub why: String,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Backlog {
    /// Firings by the time at which they are loaded.
    pub firings: Vec<Firing>,
    /// Proof of how many are needed at least.
    pub least: Least,
    /// Ware that comes late.
    pub late: Vec<Late>,
    /// Ware that no firing can take.
    pub stay: Vec<LeftOut>,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BacklogError {
    /// A kiln cannot be planned for.
    #[error(transparent)]
    Plan(#[from] PlanError),
    /// The hours leave nobody to work.
    #[error(
        "within a year from {0} the studio's hours leave no time to load and unload: name days under [hours] in studio.toml"
    )]
    NobodyThere(Date),
}

#[cfg(test)]
mod tests;
