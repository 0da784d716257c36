//! The readings of one sensor.

use jiff::Timestamp;

use glost_model::{TempDiff, Temperature};

use super::{What, between, limit};

/// A sensor that stays this near its first reading was not heated yet.
const HEATED: TempDiff = TempDiff::k(20.0);
/// A reading like this in a room that was warmer comes from swapped wires.
const REVERSED: Temperature = Temperature::c(-10.0);
/// A first reading from here on may be a room's in °F: 50 °F is 10 °C.
const ROOM_F: Temperature = Temperature::c(50.0);
/// A first reading up to here may be: 110 °F is 43 °C.
const ROOM_F_END: Temperature = Temperature::c(110.0);
/// A first reading below here may be a room's in °C read as °F: 32 °C.
const ROOM_C: Temperature = Temperature::c(0.0);
/// Samples that came since the last of this sensor, before it is missed.
const MISSED: u32 = 3;

type Reading = (Timestamp, Temperature);

#[derive(Debug, Default)]
pub(super) struct Channel {
    first: Option<Temperature>,
    hottest: Option<Temperature>,
    /// The last that was believed.
    good: Option<Reading>,
    /// A level that others have to agree with, and how many do.
    level: Option<(u32, Reading)>,
    flat: Option<Flat>,
    heard: Option<Timestamp>,
    missed: u32,
}

/// Since when the reading is the same.
#[derive(Debug)]
struct Flat {
    since: Reading,
    set_point: Option<Temperature>,
    told: bool,
}

/// What can be said of a temperature alone.
pub(super) fn range(found: Temperature) -> Option<What> {
    if !found.to_k().is_finite() {
        return Some(What::NoNumber);
    }
    let (least, most) = (limit::COLDEST.default.to_c(), limit::HOTTEST.default.to_c());
    // Kelvin inside round the ends of the range.
    let fits = (least - 1e-9..=most + 1e-9).contains(&found.to_c());
    (!fits).then_some(What::OutOfRange { found })
}

fn near((then, before): Reading, (at, found): Reading) -> bool {
    let seconds = between(then, at).to_s().max(0.0);
    (found - before).abs() <= limit::STEP.default + limit::PACE.default * seconds
}

impl Channel {
    /// What is odd about a reading, and whether it withholds it.
    pub(super) fn judge(
        &mut self,
        at: Timestamp,
        found: Temperature,
        set_point: Option<Temperature>,
    ) -> Vec<(What, bool)> {
        self.heard = Some(at);
        self.missed = 0;
        if let Some(what) = range(found) {
            return vec![(what, true)];
        }
        let Some(first) = self.first else {
            self.first = Some(found);
            // The first can be where it stands still from.
            self.flat = Some(Flat {
                since: (at, found),
                set_point,
                told: false,
            });
            self.believe((at, found));
            return room(found).into_iter().map(|what| (what, false)).collect();
        };
        let cold = self.hottest.is_none_or(|h| h - first <= HEATED);
        if found < REVERSED && first > ROOM_C && first <= limit::ROOM.default && cold {
            return vec![(What::Reversed { found }, true)];
        }
        match self.leap((at, found)) {
            Some((what, true)) => vec![(what, true)],
            leap => {
                let stuck = self.stuck((at, found), set_point).map(|what| (what, false));
                self.believe((at, found));
                leap.into_iter().chain(stuck).collect()
            }
        }
    }

    fn believe(&mut self, reading: Reading) {
        self.good = Some(reading);
        self.level = None;
        self.hottest = Some(self.hottest.map_or(reading.1, |h| h.max(reading.1)));
    }

    /// A reading that the one before does not lead to.
    fn leap(&mut self, reading: Reading) -> Option<(What, bool)> {
        let good = self.good?;
        let (found, before) = (reading.1, good.1);
        let level = self.level.filter(|(_, l)| {
            let nearer = (found - l.1).abs() < (found - before).abs();
            nearer && near(*l, reading)
        });
        if level.is_none() && near(good, reading) {
            return None;
        }
        let count = level.map_or(1, |(n, _)| n.saturating_add(1));
        self.level = Some((count, reading));
        if count < limit::AGREE.default {
            return Some((What::Spike { found, before }, true));
        }
        if found >= limit::OPEN.default && found > before {
            return Some((What::OpenCircuit { found }, true));
        }
        Some((What::NewLevel { found, before }, false))
    }

    fn stuck(&mut self, reading: Reading, set_point: Option<Temperature>) -> Option<What> {
        let fresh = || Flat {
            since: reading,
            set_point,
            told: false,
        };
        let flat = self.flat.get_or_insert_with(fresh);
        if (flat.since.1 - reading.1).abs() > TempDiff::k(1e-9) {
            *flat = fresh();
            return None;
        }
        let Some(begun) = flat.set_point else {
            flat.set_point = set_point;
            return None;
        };
        // Kelvin inside round the difference.
        let moved = (set_point? - begun).abs() + TempDiff::k(1e-9) >= limit::STUCK.default;
        if !moved || std::mem::replace(&mut flat.told, true) {
            return None;
        }
        let (since, found) = flat.since;
        Some(What::Stuck { found, since })
    }

    /// Counts a sample, and says once when this sensor is missing from too many.
    pub(super) fn absence(&mut self, at: Timestamp) -> Option<What> {
        let since = self.heard.filter(|h| *h < at)?;
        self.missed = self.missed.saturating_add(1);
        let long = between(since, at) >= limit::ABSENT.default;
        if !long || self.missed < MISSED {
            return None;
        }
        // Told: not again until it was heard.
        self.heard = None;
        Some(What::Absent { since })
    }
}

/// A first reading is that of a room, or of a kiln still warm.
fn room(found: Temperature) -> Option<What> {
    if (ROOM_F..=ROOM_F_END).contains(&found) {
        return Some(What::MaybeFahrenheit { found });
    }
    (found < ROOM_C).then_some(What::MaybeCelsius { found })
}
