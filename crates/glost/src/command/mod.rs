//! Commands, a file each.

pub mod check;
pub mod cone;
pub mod demo;
pub mod plan;
pub mod schema;
