//! What acts on a kiln beside its own heat: controller, elements, plugs, water.

use super::build::{KilnModel, Sink};
use super::control::{Aim, wanted};
use super::materials::PLUGS_WITHIN_K;
use crate::network::{Kept, NodeId};

/// A kiln while the controller does one thing. Unknowns: those of the network, what is left of each
/// sink, the set point, the integral of each group of elements.
pub struct Firing<'m> {
    pub model: &'m KilnModel,
    pub aim: Aim,
}

/// Power of a zone, W, and its derivatives.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Drawn {
    pub watts: f64,
    pub by_set: f64,
    pub by_integral: f64,
    pub by_element: f64,
}

/// Temperature and rate of a sink at this instant.
pub(super) struct Going {
    pub watts: f64,
    pub by_temp: f64,
    pub rate: f64,
    pub rate_slope: f64,
}

impl Firing<'_> {
    pub(super) fn net_len(&self) -> usize {
        self.model.net.node_count() + 1
    }

    pub(super) fn sink_index(&self, number: usize) -> usize {
        self.net_len() + number
    }

    pub fn set_index(&self) -> usize {
        self.net_len() + self.model.sinks.len()
    }

    pub(super) fn groups(&self) -> usize {
        self.model.group_sensors.len()
    }

    pub(super) fn group_of(&self, zone: usize) -> usize {
        self.model.group_of.get(zone).copied().unwrap_or(0)
    }

    pub(super) fn group_sensor(&self, group: usize) -> NodeId {
        let sensors = &self.model.group_sensors;
        sensors.get(group).copied().unwrap_or(self.model.sensor)
    }

    pub fn start(&self) -> Vec<f64> {
        let m = self.model;
        let mut y = m.net.start();
        y.extend(m.sinks.iter().map(|_| 1.0));
        y.push(m.input.room.to_k());
        y.extend((0..self.groups()).map(|_| 0.0));
        y
    }

    pub(super) fn temp(&self, node: NodeId, y: &[f64]) -> f64 {
        self.model.net.temp_k(node, 0.0, y)
    }

    /// What a thermocouple at a node shows, K.
    pub(super) fn shown_k(&self, node: NodeId, y: &[f64]) -> f64 {
        let t = self.temp(node, y);
        let e = &self.model.input.sensor_error;
        t + e.offset.to_k() + e.drift * (t - 273.15)
    }

    /// Its derivative by the temperature of the node.
    pub(super) fn shown_slope(&self) -> f64 {
        1.0 + self.model.input.sensor_error.drift
    }

    /// What the controller's sensor shows.
    pub fn sensor_k(&self, y: &[f64]) -> f64 {
        self.shown_k(self.model.sensor, y)
    }

    /// Power drawn, W.
    pub fn power_w(&self, y: &[f64]) -> f64 {
        (0..self.model.zones.len())
            .map(|z| self.zone_power(z, y).watts)
            .sum()
    }

    /// Power that the elements have when hot, W.
    pub fn full_power_w(&self) -> f64 {
        self.model.zones.iter().map(|z| z.power_w).sum()
    }

    /// Power of a zone with its derivatives.
    pub(super) fn zone_power(&self, zone: usize, y: &[f64]) -> Drawn {
        let parts = self.model.zones.get(zone).map(|z| (z, z.element));
        let Some((z, Some(element))) = parts else {
            return Drawn::default();
        };
        if matches!(self.aim, Aim::Off { .. }) {
            return Drawn::default();
        }
        let set = self.set_index();
        let integral = y[set + 1 + self.group_of(zone)];
        let sensor = self.shown_k(self.group_sensor(self.group_of(zone)), y);
        let w = wanted(y[set], sensor, integral, self.aim.limits());
        let (resistance, slope) = self.model.wire.with_slope(self.temp(element, y));
        let power_w = z.power_w * self.model.wire_hot / resistance;
        Drawn {
            watts: power_w * w.share,
            by_set: power_w * w.by_set,
            by_integral: power_w * w.by_integral,
            by_element: -power_w * w.share * slope / resistance,
        }
    }

    /// Share of the plugs that is out and its derivative by the sensor, 1/K.
    pub(super) fn plugs(&self, y: &[f64]) -> (f64, f64) {
        let heated = !matches!(self.aim, Aim::Off { .. } | Aim::Follow { shut: true, .. });
        match self.model.input.plugs_in_at {
            Some(at) if heated => {
                let over = (self.sensor_k(y) - at.to_k()) / PLUGS_WITHIN_K;
                // From 1 to 0 between −1 and 1, smooth at both.
                let x = (0.5 - over / 2.0).clamp(0.0, 1.0);
                let share = x * x * (3.0 - 2.0 * x);
                (share, -3.0 * x * (1.0 - x) / PLUGS_WITHIN_K)
            }
            _ => (0.0, 0.0),
        }
    }

    /// Mean temperature of a sink's clay: a third skin, two thirds core.
    pub(super) fn going(&self, number: usize, sink: &Sink, y: &[f64]) -> Going {
        let mean = self.temp(sink.skin, y) / 3.0 + self.temp(sink.core, y) * 2.0 / 3.0;
        let (rate, slope) = sink.kinetics.rate(mean);
        let left = y[self.sink_index(number)];
        Going {
            watts: sink.heat_j * rate * left,
            by_temp: sink.heat_j * slope * left,
            rate,
            rate_slope: slope,
        }
    }

    /// What the network works out, with the power of the elements and what sinks take up.
    pub(super) fn keep<'a>(&self, time_s: f64, y: &[f64], scratch: &'a mut [f64]) -> Kept<'a> {
        let m = self.model;
        let kept = m.net.keep(time_s, &y[..self.net_len()], scratch);
        for (i, z) in m.zones.iter().enumerate() {
            if let Some(element) = z.element {
                let power = self.zone_power(i, y).watts;
                kept.heat_w[m.net.index(element)] += power;
                kept.heat_w[m.net.node_count()] += power;
            }
        }
        for (i, sink) in m.sinks.iter().enumerate() {
            let g = self.going(i, sink, y);
            kept.heat_w[m.net.index(sink.skin)] -= g.watts / 3.0;
            kept.heat_w[m.net.index(sink.core)] -= g.watts * 2.0 / 3.0;
            kept.heat_w[m.net.index(m.reactions)] += g.watts;
        }
        let (out, _) = self.plugs(y);
        if out > 0.0 {
            for z in &m.zones {
                let over = self.temp(z.air, y) - m.input.room.to_k();
                let watts = out * m.plugs_w_per_k * over;
                kept.heat_w[m.net.index(z.air)] -= watts;
                kept.heat_w[m.net.index(m.vent)] += watts;
            }
        }
        kept
    }

    /// The warmest of sensor and ware, K.
    pub fn warmest_k(&self, y: &[f64]) -> f64 {
        let ware = self.model.zones.iter().flat_map(|z| {
            z.ware
                .iter()
                .flat_map(|w| [w.skin, w.core])
                .chain([z.witness])
        });
        ware.chain([self.model.sensor])
            .map(|n| self.temp(n, y))
            .fold(0.0, f64::max)
    }
}
