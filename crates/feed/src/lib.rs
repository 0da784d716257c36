//! Readings of a firing from the files of loggers. Nothing here touches a disk.
//!
//! The format is described for people in `docs/handbook/sensor-log.md`.

mod cell;
mod header;
mod log;

pub use log::{Channel, Log, Reading, read_log};
