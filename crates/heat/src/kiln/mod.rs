//! A kiln with its load as a thermal network, and the simulation of a firing.
//!
//! Zones follow the shelves from floor to lid. Each has its piece of wall, its elements, the shelf
//! it stands on, its posts, its ware in up to three classes of wall thickness, its air and a
//! witness cone. Zones see each other through the openings between shelf edge and wall.

mod acts;
mod assemble;
mod build;
mod cell;
mod cones;
mod control;
mod from_plan;
mod input;
mod listing;
mod live;
mod materials;
mod opening;
mod parts;
mod reactions;
mod report;
mod section;
mod simulate;
mod system;
mod zones;

pub use build::{KilnModel, NotAKiln, Zone};
pub(crate) use control::WAIT_K;
pub use from_plan::from_plan;
pub use input::{KilnInput, PostInput, SensorError, ShelfInput, Tuning, WareInput};
pub(crate) use live::{Drive, Live, between};
pub use opening::OpeningLimits;
pub(crate) use reactions::drying_time;
pub use simulate::{Accuracy, Extent, NotSimulated, simulate, simulate_as};
pub(crate) use simulate::{Course, Standing, in_detail};

#[cfg(test)]
mod tests_kiln;
