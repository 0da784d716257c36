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

    /// Moments that tell most: early, half-way up, the hottest, and on the way down at 500 °C; no moment twice.
    pub fn telling(&self) -> Vec<usize> {
        let hottest = |a: &(usize, &Moment), b: &(usize, &Moment)| {
            a.1.sensor_c.to_k().total_cmp(&b.1.sensor_c.to_k())
        };
        let each = || self.moments.iter().enumerate();
        let Some((peak, top)) = each().max_by(hottest) else {
            return Vec::new();
        };
        let half = Temperature::c(top.sensor_c.to_c() / 2.0);
        let at = |found: Option<(usize, &Moment)>| found.map(|(i, _)| i);
        let mut all: Vec<usize> = [
            at(each().find(|(_, m)| m.sensor_c >= Temperature::c(120.0))),
            at(each().find(|(_, m)| m.sensor_c >= half)),
            Some(peak),
            at(each()
                .skip(peak)
                .find(|(_, m)| m.sensor_c <= Temperature::c(500.0))),
        ]
        .into_iter()
        .flatten()
        .collect();
        all.dedup();
        all
    }
}

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
        assert_eq!(whole.telling(), [1, 2, 3, 5]);
        assert_eq!(across(&[20.0, 110.0]).telling(), [1]);
        assert!(across(&[]).telling().is_empty());
        assert_eq!(whole.nearest(Span::h(3.4)), Some(3));
    }
}
