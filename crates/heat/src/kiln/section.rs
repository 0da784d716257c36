//! The cross-section of a kiln over its firing, coarser than the curve.

use glost_model::across::{Across, AcrossZone, Moment, ZoneHeat};
use glost_model::{Length, Span, Temperature};

use super::KilnModel;
use crate::network::NodeId;

/// Looked at no more often, s, under power and while it cools.
const FIRING_S: f64 = 1200.0;
const COOLING_S: f64 = 3600.0;

/// Moments so far.
#[derive(Debug, Clone, Default)]
pub struct Section {
    moments: Vec<Moment>,
    segment: usize,
}

impl Section {
    /// Looks at the kiln: `ware_k` is that of each zone, `segment` the number of the one that runs, if one does.
    pub fn look(
        &mut self,
        model: &KilnModel,
        time_s: f64,
        y: &[f64],
        ware_k: &[f64],
        sensor_k: f64,
        segment: usize,
    ) {
        let firing = segment != usize::MAX;
        let every = if firing { FIRING_S } else { COOLING_S };
        let last = self.moments.last();
        // The end of a segment is a moment to see: drying is over, the peak is.
        let turned = segment != self.segment;
        self.segment = segment;
        if !turned && last.is_some_and(|m| time_s - m.time_s.to_s() < every - 1.0) {
            return;
        }
        let whole = |k: f64| Temperature::c((k - 273.15).round());
        let at = |node: NodeId| whole(model.net.temp_k(node, 0.0, y));
        let zone = |(z, ware): (&super::build::Zone, &f64)| ZoneHeat {
            ware_c: whole(*ware),
            wall_c: at(z.wall),
            shelf_c: z.shelf.map(at),
            element_c: z.element.map(at),
        };
        self.moments.push(Moment {
            time_s: Span::s(time_s),
            firing,
            sensor_c: whole(sensor_k),
            floor_c: at(model.floor),
            lid_c: at(model.lid),
            zones: model.zones.iter().zip(ware_k).map(zone).collect(),
        });
    }

    /// With the places of the zones.
    pub fn of(self, model: &KilnModel) -> Across {
        let zone = |z: &super::build::Zone| AcrossZone {
            tiers: z.tiers.clone(),
            from_m: Length::m(z.between_m.0),
            to_m: Length::m(z.between_m.1),
        };
        Across {
            zones: model.zones.iter().map(zone).collect(),
            moments: self.moments,
        }
    }
}
