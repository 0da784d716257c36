//! What people do with Glost, a file a verb. The only place that joins planner and judge.

mod propose;

pub use propose::{ProposeError, propose};
