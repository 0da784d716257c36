//! Firing plans for loads of the demo studio.

#[cfg(test)]
#[path = "validation_plan/demo.rs"]
mod demo;

#[cfg(test)]
#[path = "validation_plan/piles.rs"]
mod piles;

#[cfg(test)]
#[path = "validation_plan/wishes.rs"]
mod wishes;
