//! Who may do what, and what happens to those who try other things: over HTTP, on both databases.
#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test fails by panicking"
)]

#[path = "../pages/browser.rs"]
mod browser;
#[path = "../week/hand.rs"]
mod hand;
#[path = "../served/mod.rs"]
mod served;
mod studio;

mod away;
mod content;
mod editing;
mod hand_in;
mod handed_out;
mod heads;
mod leaks;
mod links;
mod lived_in;
mod looks;
mod roles;
mod sessions;
mod sheets;
mod two;
