//! What the models of this crate say beside what is published, as rows to be printed.

pub mod cones;
