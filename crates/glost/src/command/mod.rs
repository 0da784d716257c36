//! Commands, a file each.

pub mod check;
pub mod cone;
pub mod plan;
pub mod schema;
