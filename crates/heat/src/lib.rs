//! Heat of a kiln: heat-work of cones, the flow of heat in networks, and firings of a loaded kiln.
//!
//! A cone is down when the integral of its rate law reaches 1. The laws of all cones are fitted together
//! to the published end points: how they soften runs smoothly along the ladder. Halves and other
//! decimals lie between their neighbours.

pub mod doubt;
mod family;
pub mod firing;
mod heatwork;
pub mod kiln;
pub mod learn;
pub mod network;
pub mod sensor;
mod spread;
pub mod strange;
pub mod validation;
pub mod watch;

pub use family::{Column, Confidence, end_point, end_point_at, end_point_doubt, end_point_in};
pub use heatwork::{Clock, HeatWork, NotACurve, Place, Reached};
