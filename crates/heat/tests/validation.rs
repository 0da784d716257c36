//! The thermal network against published and closed-form answers. Answers marked 'exact' were
//! computed independently from the series or closed form named beside them.

#[cfg(test)]
#[path = "validation/common.rs"]
mod common;
#[path = "validation/conduction.rs"]
mod conduction;
#[cfg(test)]
#[path = "validation/invariants.rs"]
mod invariants;
#[path = "validation/radiation.rs"]
mod radiation;
#[path = "validation/views.rs"]
mod views;
#[path = "validation/walls.rs"]
mod walls;
