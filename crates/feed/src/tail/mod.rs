//! A file followed while a logger writes it.
//!
//! [`Follower`] is the whole of it without a disk; [`Tail`] looks at the disk when asked; [`follow`] asks each second.

mod follower;
mod look;
mod place;

pub use follower::{Follower, Told};
pub use look::{Tail, follow};
pub use place::Place;
