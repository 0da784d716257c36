//! The load planner: which ware goes, on which shelf, on which posts, and where each piece stands.
//!
//! Seeded: the same studio, seed and number of rounds give the same plan. Lengths inside the
//! search are plain metres, named `_m`; they enter and leave as [`glost_model::Length`].

mod assemble;
pub mod backlog;
mod bound;
mod cover;
mod engine;
mod plan;
mod region;
mod skeleton;
mod stand;
mod ware;
mod write;

pub use plan::{PlanAsk, PlanError, plan};

/// Kept beyond every gap so that rounding a position never breaks a rule, m.
const RESERVE_M: f64 = 0.000_3;
