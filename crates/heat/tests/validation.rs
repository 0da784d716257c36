//! Every case of known answer is held to its tolerance, and the page for readers is up to date.
//!
//! `cargo test -p glost-heat --test validation -- --nocapture` prints all of them.

#[cfg(test)]
#[path = "validation/invariants.rs"]
mod invariants;
#[cfg(test)]
#[path = "validation/page.rs"]
mod page;
