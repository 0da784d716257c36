//! The load planner: which ware goes, on which shelf, on which posts, and where each piece stands.
//!
//! Seeded: the same studio, seed and number of rounds give the same plan. Lengths inside the
//! search are plain metres, named `_m`; they enter and leave as [`glost_model::Length`].

mod assemble;
pub mod backlog;
pub mod bare;
mod bound;
mod by_hand;
mod change;
mod cover;
mod engine;
mod pile;
mod plan;
mod region;
mod skeleton;
mod stand;
mod ware;
mod witness;
mod write;

pub use bound::Bound;
pub use by_hand::{Footing, FootingError, footing, restate_gaps, worth_of};
pub use change::{Change, ChangeError, Changed, Moved, Step, replan, replan_unproved, what_if};
pub use plan::{
    PlanAsk, PlanError, SoFar, Watcher, plan, plan_shown, plan_unproved, worth_at_most,
    worth_bounds,
};

/// Kept beyond every gap so that rounding a position never breaks a rule, m.
const RESERVE_M: f64 = 0.000_3;
