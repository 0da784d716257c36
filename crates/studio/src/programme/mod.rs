//! A programme as people type it off a display: read, and held against the plan.

mod compare;
mod told;
mod typed;

pub use compare::differs;
pub use told::told;
pub use typed::{TypedSegment, read};
