//! What nobody has measured of a kiln, and how far it may be from what the forecast takes.

use glost_model::Length;

use crate::kiln::KilnInput;

/// One thing that is not known, spread by the normal law.
#[derive(Debug, Clone, Copy)]
pub struct Prior {
    /// Short name.
    pub id: &'static str,
    /// What it is, in words.
    pub what: &'static str,
    /// Standard deviation; 0.1 is a tenth of the thing. Shares add up in the logarithm where the thing cannot be
    /// negative.
    pub width: f64,
    /// Why so much.
    pub reason: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// Moves the kiln by this much, in the unit of the width.
    pub(super) shift: fn(&mut KilnInput, f64),
}

impl Prior {
    /// Moves a kiln by this much, in the unit of the width.
    pub fn move_kiln(&self, kiln: &mut KilnInput, by: f64) {
        (self.shift)(kiln, by);
    }
}

/// Wider than this many standard deviations nothing is drawn: the thinnest slices of the normal law hold elements of
/// twice their resistance, which somebody would have noticed.
pub(super) const MOST: f64 = 3.0;

/// Every prior.
pub const PRIORS: [Prior; 6] = [LINING, POWER, LEAK, BALANCE, SENSOR, LOAD];

const LINING: Prior = Prior {
    id: "lining",
    what: "how well wall, floor and lid conduct",
    width: 0.16,
    reason: "Bricks sold as one group conduct from 0.75 to 1.4 times as well as the middle one; that is read as nineteen in twenty.",
    source: "makers' tables gathered for this model; the middle is from memory",
    shift: |kiln, by| kiln.tuning.conductivity *= by.exp(),
};

const POWER: Prior = Prior {
    id: "power",
    what: "power of the elements: their resistance, its ageing since it was read, the voltage at the kiln",
    width: 0.05,
    reason: "Wire is sold to within 4 % of its resistance, elements age by 2 to 4 % between readings, and 2 % less voltage is 4 % less power.",
    source: "resistance: data tables of three makers of wire; the rest from memory",
    shift: |kiln, by| kiln.tuning.power *= by.exp(),
};

const LEAK: Prior = Prior {
    id: "leak",
    what: "air drawn through lid, door, plugs and vent",
    width: 0.4,
    reason: "Nobody measures it: half as much or twice as much is thinkable.",
    source: "from memory",
    shift: |kiln, by| kiln.tuning.draught *= by.exp(),
};

const BALANCE: Prior = Prior {
    id: "balance",
    what: "power that the top elements have more and the bottom ones less",
    width: 0.03,
    reason: "Each coil has its own resistance and ages on its own; all together draw the same.",
    source: "resistance of single coils: data tables of makers of wire; ageing from memory",
    shift: tilt,
};

const SENSOR: Prior = Prior {
    id: "sensor",
    what: "how far off the controller's thermocouple reads, in proportion to the temperature",
    width: 0.004,
    reason: "Thermocouples of type K are sold to within 0.75 % of the temperature, 9 °C at cone 6, and drift with use; that is read as two standard deviations.",
    source: "tolerance class 2 of IEC 60584-1, from memory",
    shift: |kiln, by| kiln.sensor_error.drift += by,
};

const LOAD: Prior = Prior {
    id: "load",
    what: "heat that shelves, posts and ware take up",
    width: 0.08,
    reason: "Masses are weighed or typed in, some guessed; heat of cordierite and clay by weight is known to about 5 %.",
    source: "from memory",
    shift: |kiln, by| kiln.tuning.load *= by.exp(),
};

/// What only the fit to a kiln's own firings moves. It is not in [`PRIORS`]: before the first firing it hardly widens what
/// they do, and its middle is as sure as anybody's.
pub const ENDS: Prior = Prior {
    id: "ends",
    what: "power that the top and bottom elements have more and those in the middle less, or what acts like it: how openings and shadows share out heat",
    width: 0.05,
    reason: "Views between tiers are worked out for bodies that stand anywhere; real loads leave lanes. A few hundredths of a band's power change as much.",
    source: "proposed",
    shift: bow,
};

/// More power toward both ends of the elements and less in their middle; all of them together draw the same.
fn bow(kiln: &mut KilnInput, by: f64) {
    let middle = |b: &glost_model::kiln::Band| ((b.from + b.to) / 2.0).to_m();
    let all: f64 = kiln.bands.iter().map(|b| b.power.to_w()).sum();
    let (low, high) = kiln
        .bands
        .iter()
        .map(middle)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), m| {
            (a.min(m), b.max(m))
        });
    if kiln.bands.len() < 3 || high - low <= Length::mm(1.0).to_m() {
        // Two bands have no middle.
        return;
    }
    let out = |b: &glost_model::kiln::Band| {
        let u = (middle(b) - low) / (high - low) * 2.0 - 1.0;
        u * u
    };
    let mean = kiln
        .bands
        .iter()
        .map(|b| out(b) * b.power.to_w())
        .sum::<f64>()
        / all;
    for band in &mut kiln.bands {
        band.power = band.power * (1.0 + by * (out(band) - mean) / (1.0 - mean).max(0.1));
    }
}

/// More power above the middle of the elements and less below it; all of them together draw the same.
fn tilt(kiln: &mut KilnInput, by: f64) {
    let all: f64 = kiln.bands.iter().map(|b| b.power.to_w()).sum();
    let middle = |b: &glost_model::kiln::Band| ((b.from + b.to) / 2.0).to_m();
    let mean = kiln
        .bands
        .iter()
        .map(|b| middle(b) * b.power.to_w())
        .sum::<f64>()
        / all;
    let furthest = kiln.bands.iter().map(|b| (middle(b) - mean).abs());
    let furthest = furthest.fold(0.0, f64::max);
    if furthest <= Length::mm(1.0).to_m() {
        // One band only: nothing to balance.
        return;
    }
    for band in &mut kiln.bands {
        band.power = band.power * (1.0 + by * (middle(band) - mean) / furthest);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::validation::kilns::{REFERENCE, kiln};

    #[test]
    fn nothing_is_moved_by_nothing() {
        let was = kiln(&REFERENCE);
        for prior in PRIORS {
            let mut moved = was.clone();
            (prior.shift)(&mut moved, 0.0);
            assert_eq!(moved, was, "{}", prior.id);
            (prior.shift)(&mut moved, prior.width);
            assert_ne!(moved, was, "{}", prior.id);
        }
    }

    #[test]
    fn ends_take_from_the_middle_what_they_get() {
        let was = kiln(&REFERENCE);
        let mut moved = was.clone();
        bow(&mut moved, 0.0);
        assert_eq!(moved, was);
        bow(&mut moved, 0.1);
        let power = |k: &KilnInput| k.bands.iter().map(|b| b.power.to_w()).sum::<f64>();
        assert!((power(&moved) / power(&was) - 1.0).abs() < 1e-12);
        let share = |i: usize| moved.bands[i].power / was.bands[i].power;
        assert!((share(0) - 1.1).abs() < 1e-9 && (share(2) - 1.1).abs() < 1e-9);
        assert!((share(1) - 0.8).abs() < 1e-9);
        let mut two = was.clone();
        two.bands.pop();
        let before = two.clone();
        bow(&mut two, 0.1);
        assert_eq!(two, before, "two bands have no middle");
    }

    #[test]
    fn balance_takes_from_below_what_it_gives_above() {
        let was = kiln(&REFERENCE);
        let mut moved = was.clone();
        tilt(&mut moved, 0.1);
        let power = |k: &KilnInput| k.bands.iter().map(|b| b.power.to_w()).sum::<f64>();
        assert!((power(&moved) / power(&was) - 1.0).abs() < 1e-12);
        let share = |i: usize| moved.bands[i].power / was.bands[i].power;
        assert!((share(0) - 0.9).abs() < 1e-9 && (share(2) - 1.1).abs() < 1e-9);
    }
}
