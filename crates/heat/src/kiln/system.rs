//! The equations of a kiln under its controller.

pub use super::acts::Firing;
use super::build::KilnModel;
use super::control::{ARRIVED_K, Aim, set_rate, wanted};
use crate::network::ENERGY_TOLERANCE_J;
use crate::network::integrate::System;

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
            Aim::Follow { rate, .. } => rate,
            _ => 0.0,
        };
        for g in 0..self.groups() {
            let k = set + 1 + g;
            dy[k] = match self.aim {
                Aim::Off { .. } => 0.0,
                aim => {
                    let shown = self.shown_k(self.group_sensor(g), y);
                    wanted(y[set], shown, y[k], aim.limits()).integral_rate
                }
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
            let w = wanted(y[set], self.shown_k(sensor, y), y[k], self.aim.limits());
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
                ENERGY_TOLERANCE_J * 4.0
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
            Aim::Hold { .. } | Aim::Follow { .. } => 1.0,
            Aim::Off { until_k } => self.warmest_k(y) - until_k,
        }
    }
}

fn y_is_energy(m: &KilnModel, index: usize) -> bool {
    index == m.net.node_count() || m.counts(index)
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
                Aim::Follow {
                    rate: 0.01,
                    between: (-0.25, 2.0),
                    shut: false,
                },
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
