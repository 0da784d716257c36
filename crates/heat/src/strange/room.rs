//! What is around: the room over the day, and what a cone on a tier sees.

use jiff::Timestamp;

use super::nature::{Nature, Today};
use super::step::Stepper;

/// What a cone in a slice sees, K.
pub fn around_k(kiln: &Stepper, slice: usize) -> f64 {
    let space = kiln.space_k(slice).max(250.0);
    let ware = kiln.grid.slices.get(slice);
    let ware = ware.map_or([None, None], |s| [s.outer, s.inner]);
    let temps = ware.map(|n| n.and_then(|n| kiln.temps.get(n)).copied());
    match temps {
        [Some(outer), Some(inner)] => {
            let mean = 0.4 * outer.powi(4) + 0.25 * inner.powi(4) + 0.35 * space.powi(4);
            mean.sqrt().sqrt()
        }
        _ => space,
    }
}

/// Hour of the day by the clock of the log.
pub fn hour(start: Timestamp, time_s: f64) -> f64 {
    let day = start.as_second().rem_euclid(86_400) as f64 + time_s;
    (day / 3600.0) % 24.0
}

/// Warmest at four in the afternoon.
pub fn room_k(nature: &Nature, today: &Today, start: Timestamp, time_s: f64) -> f64 {
    let angle = (hour(start, time_s) - 16.0) / 24.0 * std::f64::consts::TAU;
    273.15 + nature.room + today.warmer + nature.swing * angle.cos()
}
