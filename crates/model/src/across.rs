//! How hot the parts of a kiln are at some moments of a firing, for a picture of its cross-section.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::{Length, Span, Temperature};

/// A zone's place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct AcrossZone {
    /// Names of the tiers in it, as `2L, 2R`; empty in a kiln without shelves.
    pub tiers: String,
    /// Top of its shelf above the kiln's floor, m.
    pub from_m: Length,
    /// Underside of the next shelf, or of the lid, m.
    pub to_m: Length,
}

/// A zone at one moment. Whole °C.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ZoneHeat {
    /// Mean of its ware, °C.
    pub ware_c: Temperature,
    /// Face of the wall, °C.
    pub wall_c: Temperature,
    /// Its shelf, °C; none in a kiln without shelves.
    pub shelf_c: Option<Temperature>,
    /// Its elements, °C; none where the wall has none.
    pub element_c: Option<Temperature>,
}

/// One moment.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Moment {
    /// Since the start, s.
    pub time_s: Span,
    /// The elements have power, or would have if they were asked.
    pub firing: bool,
    /// What the sensor reads, °C.
    pub sensor_c: Temperature,
    /// Face of the kiln's floor, °C.
    pub floor_c: Temperature,
    /// Face of the lid or roof, °C.
    pub lid_c: Temperature,
    /// In the order of [`Across::zones`].
    pub zones: Vec<ZoneHeat>,
}

/// The cross-section over a firing and its cooling.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Across {
    /// From the floor up.
    pub zones: Vec<AcrossZone>,
    /// In order of time.
    pub moments: Vec<Moment>,
}

impl Across {
    /// Number of the moment nearest to a time.
    pub fn nearest(&self, time: Span) -> Option<usize> {
        let apart = |m: &Moment| (m.time_s - time).to_s().abs();
        let each = self.moments.iter().enumerate();
        each.min_by(|a, b| apart(a.1).total_cmp(&apart(b.1)))
            .map(|(i, _)| i)
    }

    /// Moments that tell most, in order and none twice: when the damp is out (`dry`, or from 120 °C up), at the quartz
    /// inversion on the way up, the hottest, and past the quartz on the way down.
    pub fn telling(&self, dry: Option<Span>) -> Vec<Telling> {
        let hottest = |a: &(usize, &Moment), b: &(usize, &Moment)| {
            a.1.sensor_c.to_k().total_cmp(&b.1.sensor_c.to_k())
        };
        let each = || self.moments.iter().enumerate();
        let Some((peak, _)) = each().max_by(hottest) else {
            return Vec::new();
        };
        let up = |from: f64| {
            let there = |(_, m): &(usize, &Moment)| m.sensor_c >= Temperature::c(from);
            each().take(peak).find(there).map(|(i, _)| i)
        };
        let cold = |(_, m): &(usize, &Moment)| m.sensor_c <= Temperature::c(PAST_QUARTZ_C);
        let down = each().skip(peak).find(cold).map(|(i, _)| i);
        let dried = dry.and_then(|t| self.nearest(t)).or_else(|| up(DRY_C));
        let named = [
            (dried.filter(|i| *i < peak), "end of drying"),
            (up(QUARTZ_C), "quartz, on the way up"),
            (Some(peak), "hottest"),
            (down, "past the quartz, cooling"),
        ];
        let mut all: Vec<Telling> = named
            .into_iter()
            .filter_map(|(at, what)| at.map(|at| Telling { at, what }))
            .collect();
        all.dedup_by_key(|t| t.at);
        all
    }
}

/// A moment worth a picture of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Telling {
    /// Its number among [`Across::moments`].
    pub at: usize,
    /// What it is.
    pub what: &'static str,
}

/// Free water is gone. Common practice, no source.
const DRY_C: f64 = 120.0;
/// Quartz inverts at 573 °C (textbooks of ceramics, from memory); ware that lags is past it well below.
const QUARTZ_C: f64 = 573.0;
const PAST_QUARTZ_C: f64 = 500.0;

#[cfg(test)]
mod tests {
    use super::*;

    fn across(sensor: &[f64]) -> Across {
        let moment = |(i, c): (usize, &f64)| Moment {
            time_s: Span::h(i as f64),
            firing: true,
            sensor_c: Temperature::c(*c),
            floor_c: Temperature::c(*c),
            lid_c: Temperature::c(*c),
            zones: Vec::new(),
        };
        Across {
            zones: Vec::new(),
            moments: sensor.iter().enumerate().map(moment).collect(),
        }
    }

    #[test]
    fn telling_moments_are_in_order_and_never_twice() {
        let whole = across(&[20.0, 130.0, 700.0, 1200.0, 800.0, 490.0, 60.0]);
        let at = |across: &Across, dry| -> Vec<usize> {
            across.telling(dry).iter().map(|t| t.at).collect()
        };
        assert_eq!(at(&whole, None), [1, 2, 3, 5]);
        assert_eq!(at(&whole, Some(Span::h(0.1))), [0, 2, 3, 5]);
        assert_eq!(at(&whole, Some(Span::h(2.2))), [2, 3, 5]);
        assert_eq!(at(&across(&[20.0, 110.0]), None), [1]);
        assert!(at(&across(&[]), None).is_empty());
        assert_eq!(whole.nearest(Span::h(3.4)), Some(3));
    }
}
