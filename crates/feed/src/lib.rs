//! Readings of a firing: whole logs, files followed while they are written, brokers, controllers, and people.
//! Everything here listens; nothing can write to a controller.
//!
//! The log that Glost writes itself is described in `docs/handbook/sensor-log.md`, live sources in
//! `docs/handbook/feeds.md`. Every live source ends in [`Event`]s: samples with the [`clean::Guard`]'s remarks, and
//! troubles of the source.

mod cell;
pub mod clean;
mod event;
mod hand;
mod header;
mod joiner;
pub mod layout;
mod log;
pub mod modbus;
pub mod mqtt;
mod pause;
mod readings;
pub mod rows;
pub mod tail;
mod trouble;

pub use event::{Clock, Closed, Event, Heard, Teller};
pub use hand::typed;
pub use joiner::{LONGEST_LINE, Line, LineJoiner};
pub use layout::Layout;
pub use log::{Channel, Log, Reading, read_log};
pub use readings::{MOST_FAULTS, Readings};
pub use rows::Rows;
pub use trouble::{Trouble, TroubleKind};
