//! Commands, a file each.

pub mod ask;
pub mod backup;
pub mod change;
pub mod check;
pub mod cone;
pub mod demo;
pub mod figures;
pub mod firings;
pub mod heatwork;
pub mod plan;
pub mod rules;
pub mod schema;
pub mod serve;
pub mod show;
pub mod simulate;
mod wished;
