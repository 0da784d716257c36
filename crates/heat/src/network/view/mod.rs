//! View factors of simple shapes. The share of what leaves the first that falls on the second.
//!
//! Numbers such as C-41 are those of Howell, A Catalog of Radiation Heat Transfer Configuration Factors.

mod cylinders;
mod discs;
mod rectangles;

pub use cylinders::{InsideCylinder, coaxial_cylinders, plane_to_tubes};
pub use discs::{RingViews, coaxial_discs, disc_and_ring};
pub use rectangles::{corner_rectangles, facing_rectangles};
