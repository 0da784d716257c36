//! Heat of a kiln: heat-work of cones, the flow of heat in networks, and firings of a loaded kiln.
//!
//! A cone is down when ∫ A exp(−E/RT) dt reaches 1. A and E of each cone are fitted to its
//! published end points; halves and cones without enough of them lie between their neighbours.

mod family;
pub mod firing;
mod heatwork;
pub mod kiln;
pub mod network;
pub mod sensor;
pub mod validation;

pub use family::{Column, end_point, end_point_doubt, end_point_in};
pub use heatwork::{Clock, HeatWork, NotACurve, Place, Reached};
