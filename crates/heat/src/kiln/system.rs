//! The equations of a kiln under its controller.

use super::build::{KilnModel, Sink};
use super::control::{ARRIVED_K, Aim, set_rate, wanted};
use super::materials::{NAMEPLATE_K, PLUGS_WITHIN_K};
use crate::network::integrate::System;
use crate::network::{ENERGY_TOLERANCE_J, Kept, NodeId};

/// A kiln while the controller does one thing. Unknowns: those of the network, what is left of each
/// sink, the set point, the integral of each group of elements.
pub struct Firing<'m> {
    pub model: &'m KilnModel,
    pub aim: Aim,
}

/// Power of a zone, W, and its derivatives.
#[derive(Debug, Clone, Copy, Default)]
struct Drawn {
    watts: f64,
    by_set: f64,
    by_integral: f64,
    by_element: f64,
}

/// Temperature and rate of a sink at this instant.
struct Going {
    watts: f64,
    by_temp: f64,
    rate: f64,
    rate_slope: f64,
}

impl Firing<'_> {
    fn net_len(&self) -> usize {
        self.model.net.node_count() + 1
    }

    fn sink_index(&self, number: usize) -> usize {
        self.net_len() + number
    }

    pub fn set_index(&self) -> usize {
        self.net_len() + self.model.sinks.len()
    }

    fn groups(&self) -> usize {
        self.model.group_sensors.len()
    }

    fn group_of(&self, zone: usize) -> usize {
        self.model.group_of.get(zone).copied().unwrap_or(0)
    }

    fn group_sensor(&self, group: usize) -> NodeId {
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

    fn temp(&self, node: NodeId, y: &[f64]) -> f64 {
        self.model.net.temp_k(node, 0.0, y)
    }

    /// What a thermocouple at a node shows, K.
    fn shown_k(&self, node: NodeId, y: &[f64]) -> f64 {
        let t = self.temp(node, y);
        let e = &self.model.input.sensor_error;
        t + e.offset.to_k() + e.drift * (t - 273.15)
    }

    /// Its derivative by the temperature of the node.
    fn shown_slope(&self) -> f64 {
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
    fn zone_power(&self, zone: usize, y: &[f64]) -> Drawn {
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
        let w = wanted(y[set], sensor, integral);
        let (resistance, slope) = self.model.wire.with_slope(self.temp(element, y));
        let power_w = z.power_w * self.model.wire.at(NAMEPLATE_K) / resistance;
        Drawn {
            watts: power_w * w.share,
            by_set: power_w * w.by_set,
            by_integral: power_w * w.by_integral,
            by_element: -power_w * w.share * slope / resistance,
        }
    }

    /// Share of the plugs that is out and its derivative by the sensor, 1/K.
    fn plugs(&self, y: &[f64]) -> (f64, f64) {
        let heated = !matches!(self.aim, Aim::Off { .. });
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
    fn going(&self, number: usize, sink: &Sink, y: &[f64]) -> Going {
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
    fn keep<'a>(&self, time_s: f64, y: &[f64], scratch: &'a mut [f64]) -> Kept<'a> {
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
}

impl System for Firing<'_> {
    fn len(&self) -> usize {
        self.set_index() + 1 + self.groups()
    }

    fn hidden(&self) -> usize {
        self.model.net.hidden()
    }

    fn scratch(&self) -> usize {
        self.model.net.kept()
    }

    fn rates(&self, time_s: f64, y: &[f64], dy: &mut [f64], scratch: &mut [f64]) {
        let m = self.model;
        let kept = self.keep(time_s, y, scratch);
        m.net.rates_from(y, kept.heat_w, dy);
        for (i, sink) in m.sinks.iter().enumerate() {
            let k = self.sink_index(i);
            dy[k] = -self.going(i, sink, y).rate * y[k];
        }
        let set = self.set_index();
        dy[set] = match self.aim {
            Aim::Ramp { rate, .. } => set_rate(rate, y[set], self.sensor_k(y)).0,
            _ => 0.0,
        };
        for g in 0..self.groups() {
            let k = set + 1 + g;
            dy[k] = match self.aim {
                Aim::Off { .. } => 0.0,
                _ => wanted(y[set], self.shown_k(self.group_sensor(g), y), y[k]).integral_rate,
            };
        }
    }

    fn jacobian(
        &self,
        time_s: f64,
        y: &[f64],
        scratch: &mut [f64],
        put: &mut dyn FnMut(usize, usize, f64),
    ) {
        let m = self.model;
        let kept = self.keep(time_s, y, scratch);
        m.net.jacobian_from(time_s, y, &kept, self.len(), put);
        let set = self.set_index();
        for (i, z) in m.zones.iter().enumerate() {
            let Some(element) = z.element else { continue };
            let sensor = m.net.index(self.group_sensor(self.group_of(i)));
            let integral = set + 1 + self.group_of(i);
            let d = self.zone_power(i, y);
            for (column, slope) in [
                (set, d.by_set),
                (sensor, -d.by_set * self.shown_slope()),
                (integral, d.by_integral),
                (m.net.index(element), d.by_element),
            ] {
                m.net.put_heat(m.net.index(element), column, slope, y, put);
                put(m.net.node_count(), column, slope);
            }
        }
        for (i, sink) in m.sinks.iter().enumerate() {
            let g = self.going(i, sink, y);
            let k = self.sink_index(i);
            let (skin, core) = (m.net.index(sink.skin), m.net.index(sink.core));
            let columns = [
                (skin, g.by_temp / 3.0),
                (core, g.by_temp * 2.0 / 3.0),
                (k, sink.heat_j * g.rate),
            ];
            for (column, slope) in columns {
                m.net.put_heat(skin, column, -slope / 3.0, y, put);
                m.net.put_heat(core, column, -slope * 2.0 / 3.0, y, put);
                put(m.net.index(m.reactions), column, slope);
            }
            put(k, k, -g.rate);
            put(k, skin, -g.rate_slope * y[k] / 3.0);
            put(k, core, -g.rate_slope * y[k] * 2.0 / 3.0);
        }
        let sensor = m.net.index(m.sensor);
        if m.input.plugs_in_at.is_some() {
            let (out, slope) = self.plugs(y);
            for z in &m.zones {
                let air = m.net.index(z.air);
                let over = self.temp(z.air, y) - m.input.room.to_k();
                let by_sensor = m.plugs_w_per_k * over * slope * self.shown_slope();
                for (column, slope) in [(air, out * m.plugs_w_per_k), (sensor, by_sensor)] {
                    m.net.put_heat(air, column, -slope, y, put);
                    put(m.net.index(m.vent), column, slope);
                }
            }
        }
        let slope = match self.aim {
            Aim::Ramp { rate, .. } => set_rate(rate, y[set], self.sensor_k(y)).1 * rate.signum(),
            _ => 0.0,
        };
        put(set, set, slope);
        put(set, sensor, -slope * self.shown_slope());
        let on = f64::from(u8::from(!matches!(self.aim, Aim::Off { .. })));
        for g in 0..self.groups() {
            let k = set + 1 + g;
            let sensor = self.group_sensor(g);
            let w = wanted(y[set], self.shown_k(sensor, y), y[k]);
            put(k, set, on * w.rate_by_set);
            put(
                k,
                m.net.index(sensor),
                -on * w.rate_by_set * self.shown_slope(),
            );
            put(k, k, on * w.rate_by_integral);
        }
    }

    fn tolerance(&self, index: usize) -> f64 {
        let m = self.model;
        if index < self.net_len() {
            // Energies must not rule the steps; temperatures do.
            m.net.tolerance(index).max(if y_is_energy(m, index) {
                ENERGY_TOLERANCE_J * 20.0
            } else {
                0.0
            })
        } else if index < self.set_index() {
            1e-3
        } else if index == self.set_index() {
            1e-2
        } else {
            1e-3
        }
    }

    fn event(&self, _time_s: f64, y: &[f64]) -> f64 {
        let set = y[self.set_index()];
        match self.aim {
            Aim::Ramp { rate, target_k } => (target_k - set) * rate.signum(),
            Aim::Arrive { target_k, rising } => {
                let short = target_k - self.sensor_k(y);
                if rising {
                    short - ARRIVED_K
                } else {
                    -short - ARRIVED_K
                }
            }
            Aim::Hold { .. } => 1.0,
            Aim::Off { until_k } => self.warmest_k(y) - until_k,
        }
    }
}

impl Firing<'_> {
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

fn y_is_energy(m: &KilnModel, index: usize) -> bool {
    let held = [m.room, m.vent, m.reactions];
    index == m.net.node_count() || held.iter().any(|n| m.net.index(*n) == index)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kiln::tests_kiln::small;
    use crate::kiln::{KilnInput, KilnModel, SensorError};
    use glost_model::{TempDiff, Temperature};

    /// The Jacobian agrees with differences of the rates, whatever the controller does.
    #[test]
    fn jacobian_is_the_slope_of_the_rates() {
        for zoned in [false, true] {
            let model = KilnModel::new(KilnInput {
                zoned,
                mains: 0.95,
                sensor_error: SensorError {
                    offset: TempDiff::k(-3.0),
                    drift: 0.01,
                },
                plugs_in_at: Some(Temperature::k(890.0)),
                ..small()
            })
            .unwrap();
            for aim in [
                Aim::Ramp {
                    rate: 0.03,
                    target_k: 1400.0,
                },
                Aim::Ramp {
                    rate: -0.02,
                    target_k: 400.0,
                },
                Aim::Hold { target_k: 900.0 },
                Aim::Off { until_k: 300.0 },
            ] {
                let firing = Firing { model: &model, aim };
                let mut y = firing.start();
                let n = firing.len();
                let all = n + firing.hidden();
                let mut scratch = vec![0.0; firing.scratch()];
                for (i, v) in y.iter_mut().enumerate() {
                    if *v > 100.0 {
                        *v = 700.0 + 37.0 * ((i * 7) % 11) as f64;
                    }
                }
                let set = firing.set_index();
                y[set] = firing.sensor_k(&y) + 8.0;
                let mut j = vec![vec![0.0; all]; all];
                firing.jacobian(0.0, &y, &mut scratch, &mut |r, c, v| j[r][c] += v);
                // What is hidden follows from the unknowns: 0 = A y + B z, so z = −B⁻¹ A y.
                for k in n..all {
                    let pivot = j[k].clone();
                    for row in j.iter_mut().enumerate().filter(|(i, _)| *i != k) {
                        let share = row.1[k] / pivot[k];
                        for (v, p) in row.1.iter_mut().zip(&pivot) {
                            *v -= share * p;
                        }
                    }
                }
                let (mut up, mut down) = (vec![0.0; n], vec![0.0; n]);
                for c in 0..n {
                    let h = 1e-5 * y[c].abs().max(1e-2);
                    let mut moved = y.clone();
                    moved[c] = y[c] + h;
                    firing.rates(0.0, &moved, &mut up, &mut scratch);
                    moved[c] = y[c] - h;
                    firing.rates(0.0, &moved, &mut down, &mut scratch);
                    for r in 0..n {
                        let slope = (up[r] - down[r]) / (2.0 * h);
                        let size = 1e-7 * (up[r].abs() / h) + 1e-4 * slope.abs() + 1e-9;
                        let off = (j[r][c] - slope).abs();
                        assert!(
                            off < size,
                            "{aim:?} row {r} column {c}: {} against {slope}",
                            j[r][c]
                        );
                    }
                }
            }
        }
    }
}
