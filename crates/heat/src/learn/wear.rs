//! What the fits say of upkeep: how power goes down, the firing at which the kiln no longer comes up, sensor and relays.

mod parts;
mod power;
#[cfg(test)]
mod tests;

pub use parts::{RELAY_LIFE, relay_cycles, relays_left, sensor_left};
pub use power::{Ohms, PowerSeen, Trend, firings_left, powers, trend};

use glost_model::doubt::Band;

/// Firings that are left: soonest (one in ten), about, latest (nine in ten). Nothing where it is further off than
/// [`MOST_FIRINGS`].
pub type Left = Band<Option<u32>>;

/// Nobody plans further ahead.
pub const MOST_FIRINGS: u32 = 1000;

/// The band in words, as `in about 18 firings (9 to 60)`.
pub fn words(left: &Left) -> String {
    let far = |n: Option<u32>| n.map_or_else(|| "many".to_owned(), |n| n.to_string());
    match (left.middle, left.low) {
        (Some(0), _) => "now".into(),
        (Some(n), low) => format!("in about {n} firings ({} to {})", far(low), far(left.high)),
        (None, Some(low)) => format!("hardly before {low} more firings"),
        (None, None) => "not within anything that can be foreseen".into(),
    }
}
