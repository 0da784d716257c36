//! The bound against loads that exist.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod made;
mod outside;
mod packings;
mod random;
mod studios;
