//! Commands, a file each.

pub mod ask;
pub mod backup;
pub mod change;
pub mod check;
pub mod cone;
pub mod demo;
pub mod export;
pub mod figures;
pub mod firings;
pub mod heatwork;
pub mod import;
pub mod place;
pub mod plan;
pub mod rehearse;
pub mod restore;
pub mod rules;
pub mod schema;
pub mod serve;
pub mod show;
pub mod simulate;
mod wished;
