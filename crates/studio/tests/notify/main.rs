//! Notices: kept before they are sent, sent by every way for itself, not too often, to those who wish it.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod broker;
mod crash;
mod hook;
mod inbox;
mod letters;
mod limits;
mod place;
mod standing;
#[path = "../stores/mod.rs"]
mod stores;
mod wishes;
