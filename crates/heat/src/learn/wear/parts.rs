//! Sensors and relays wear by use.

use glost_model::Span;
use glost_model::book::upkeep::{Count, SENSOR_LIFE};
use glost_model::doubt::Band;
use glost_model::readings::Sample;

use super::{Left, MOST_FIRINGS};

/// Switchings that a relay lasts at the current it is made for: makers of power relays give about a hundred thousand,
/// from memory.
pub const RELAY_LIFE: f64 = 100_000.0;
/// Lives of parts spread from this to this share of what is given, one in ten to nine in ten; proposed.
const SPREAD: [f64; 3] = [0.6, 1.0, 1.6];

fn left(life: f64, used: f64, each: f64) -> Left {
    let of = |share: f64| {
        let firings = ((life * share - used).max(0.0) / each).floor();
        (firings <= f64::from(MOST_FIRINGS)).then_some(firings as u32)
    };
    let [low, middle, high] = SPREAD.map(of);
    Band { low, middle, high }
}

/// Firings that a sensor has left, when the next are as hot as those before. `None` before the first.
pub fn sensor_left(count: &Count) -> Option<Left> {
    let each = count.weighed / f64::from(count.firings);
    (each.is_finite() && each > 0.0).then(|| left(SENSOR_LIFE, count.weighed, each))
}

/// How often a relay switched in a firing whose controller works in cycles this long: once a cycle while it asks for
/// some of its power, never while it asks for all or nothing.
pub fn relay_cycles(log: &[Sample], cycle: Span) -> u64 {
    if !(cycle.to_s() > 0.0 && cycle.is_finite()) {
        return 0;
    }
    let pairs = log.windows(2);
    let switching = pairs.filter_map(|w| {
        let took_s = w[1].at.duration_since(w[0].at).as_secs_f64();
        let some = w[1].duty.is_some_and(|d| d > 0.0 && d < 1.0);
        // Nobody knows what happened in a gap.
        (some && took_s > 0.0 && took_s < 1800.0).then_some(took_s)
    });
    (switching.sum::<f64>() / cycle.to_s()).round() as u64
}

/// Firings that relays have left after so many switchings in so many firings. `None` before the first.
pub fn relays_left(cycles: u64, firings: u32) -> Option<Left> {
    let used = cycles as f64;
    let each = used / f64::from(firings);
    (each.is_finite() && each > 0.0).then(|| left(RELAY_LIFE, used, each))
}
