//! The bound against loads that exist.

mod made;
mod outside;
mod packings;
mod random;
mod studios;
