//! What people do with Glost, a file a verb. The only place that joins planner, judge and disk.

mod open_folder;
mod propose;
mod write_out;

pub use open_folder::open_folder;
pub use propose::{ProposeError, propose};
pub use write_out::{OutFile, WriteError, write_out};
