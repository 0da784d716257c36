//! Bare packing problems: the shelf engine measured against published records and other engines.

mod circles;

pub use circles::{Packed, least_circle};

/// How hard to search.
#[derive(Debug, Clone, Copy)]
pub struct Effort {
    /// Stop after this time, s; infinite for runs that must be the same on every machine.
    pub seconds: f64,
    /// Descents at most.
    pub descents: u64,
    /// The same seed and number of descents give the same answer.
    pub seed: u64,
}
