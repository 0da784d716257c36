//! What is written down during a simulation, and the forecast made of it.

use glost_model::firing::FiringPlan;
use glost_model::forecast::{Cooled, EnergySplit, Forecast, Sample, ZoneResult};
use glost_model::tariff::{Tariff, highest_draw};
use glost_model::{Energy, Power, Rate, Span, TempDiff, Temperature};

use super::build::KilnModel;
use super::cones::Cones;
use super::control::Aim;
use super::section::Section;
use super::simulate::Late;
use super::system::Firing;
use crate::network::NodeId;

/// A segment slower than its rate by this share, and this long, is mentioned, s.
const LATE_SHARE: f64 = 1.1;
const LATE_S: f64 = 900.0;
/// Power from which a margin is called thin.
const THIN: f64 = 0.9;

/// Gathers a simulation.
#[derive(Clone)]
pub struct Recorder<'m> {
    model: &'m KilnModel,
    samples: Vec<Sample>,
    cones: Cones,
    peaks: Vec<f64>,
    strain: Vec<f64>,
    /// Most power of each segment as a share of all, and temperature there, °C.
    drawn: Vec<(f64, f64)>,
    notes: Vec<String>,
    /// Segments slower than asked.
    pub late: Vec<Late>,
    over: Vec<Span>,
    ended_s: Option<f64>,
    across: Section,
}

impl<'m> Recorder<'m> {
    pub fn new(model: &'m KilnModel) -> Self {
        let n = model.zones.len();
        Self {
            model,
            samples: Vec::new(),
            cones: Cones::new(n),
            peaks: vec![0.0; n],
            strain: vec![0.0; n],
            drawn: Vec::new(),
            notes: Vec::new(),
            late: Vec::new(),
            over: Vec::new(),
            ended_s: None,
            across: Section::default(),
        }
    }

    /// Goes on with cones that have received heat-work.
    pub fn resume(model: &'m KilnModel, cones: Cones) -> Self {
        Self {
            cones,
            ..Self::new(model)
        }
    }

    fn temp(&self, node: NodeId, y: &[f64]) -> f64 {
        self.model.net.temp_k(node, 0.0, y)
    }

    pub fn look(&mut self, firing: &Firing<'_>, time_s: f64, y: &[f64], segment: usize) {
        let model = self.model;
        if !self.cones.look(model, time_s, y) {
            self.notes
                .push("A step of the curve was left out of the heat-work.".into());
        }
        let ware: Vec<f64> = model.zones.iter().map(|z| model.ware_k(z, y)).collect();
        for (i, zone) in model.zones.iter().enumerate() {
            self.peaks[i] = self.peaks[i].max(ware[i]);
            if let Some(thick) = zone
                .ware
                .iter()
                .max_by(|a, b| a.half_m.total_cmp(&b.half_m))
            {
                let across = (self.temp(thick.skin, y) - self.temp(thick.core, y)).abs();
                self.strain[i] = self.strain[i].max(across);
            }
        }
        let power = firing.power_w(y);
        let sensor = firing.sensor_k(y);
        if segment != usize::MAX {
            self.drawn
                .resize(self.drawn.len().max(segment + 1), (0.0, 0.0));
            let share = power / firing.full_power_w();
            if share > self.drawn[segment].0 {
                self.drawn[segment] = (share, sensor - 273.15);
            }
        }
        let off = matches!(firing.aim, Aim::Off { .. });
        self.across.look(model, time_s, y, &ware, sensor, segment);
        let element = model
            .zones
            .iter()
            .filter_map(|z| z.element)
            .map(|n| self.temp(n, y))
            .fold(0.0, f64::max);
        self.samples.push(Sample {
            time_s: Span::s(time_s),
            set_point_c: (!off).then(|| Temperature::k(y[firing.set_index()])),
            sensor_c: Temperature::k(sensor),
            element_c: Temperature::k(element),
            ware_c: ware.into_iter().map(Temperature::k).collect(),
            power_w: Power::w(power),
            energy_j: Energy::j(y[model.net.node_count()]),
        });
    }

    pub fn segment_ended(&mut self, number: usize, rate: Option<f64>, rise_k: f64, took_s: f64) {
        let Some(rate) = rate else { return };
        let wanted_s = (rise_k / rate).abs();
        if took_s > wanted_s * LATE_SHARE && took_s > wanted_s + LATE_S {
            let real = Rate::c_per_h((rise_k / took_s * 3600.0).abs());
            let shown = self.model.input.shown;
            if rise_k > 0.0 {
                self.late.push(Late {
                    segment: number,
                    kept: rise_k / took_s,
                });
                self.notes.push(format!(
                    "Segment {}: the kiln cannot keep {}; expect about {}.",
                    number + 1,
                    shown.rate(Rate::c_per_h(rate.abs() * 3600.0)),
                    shown.rate(real)
                ));
            } else {
                self.notes.push(format!(
                    "Segment {}: the closed kiln cools by itself at about {}, slower than the programme.",
                    number + 1,
                    shown.rate(real)
                ));
            }
        }
    }

    pub fn hold_ended(&mut self, time_s: f64) {
        self.over.push(Span::s(time_s));
    }

    pub fn programme_ended(&mut self, time_s: f64) {
        self.ended_s = Some(time_s);
    }

    /// Cone position of a zone; just under 022 when even that one stands.
    pub fn position(&self, zone: usize) -> f64 {
        self.cones.position(zone)
    }

    /// The same in the words of the trade.
    fn cone(&self, zone: usize) -> String {
        let work = self.cones.of(zone);
        work.map_or_else(String::new, |w| w.reached().to_string())
    }

    pub fn forecast(
        mut self,
        plan: &FiringPlan,
        tariff: &Tariff,
        y: &[f64],
        ended_s: f64,
        stalled: bool,
    ) -> Forecast {
        let model = self.model;
        let middle = self.position(model.reference);
        let off_by = middle - plan.cone.position();
        let highest = self
            .samples
            .iter()
            .map(|s| s.sensor_c)
            .fold(Temperature::k(0.0), Temperature::max);
        if stalled {
            self.notes.insert(
                0,
                format!(
                    "The kiln stalls at about {}: at full power it no longer gains {} in an hour.",
                    model.input.shown.temperature(highest),
                    model.input.shown.difference(TempDiff::k(5.0))
                ),
            );
        } else if off_by.abs() > 0.5 {
            self.notes.push(format!(
                "The middle of the kiln reaches cone {} where cone {} is wanted.",
                self.cone(model.reference),
                plan.cone
            ));
        }
        self.margin();
        let energy = y[model.net.node_count()];
        let received = |node: NodeId| Energy::j(y[model.net.index(node)]);
        let drawn: Vec<_> = self
            .samples
            .iter()
            .map(|s| (s.time_s, s.energy_j))
            .collect();
        let zones = model.zones.iter().enumerate().map(|(i, z)| ZoneResult {
            tiers: z.tiers.clone(),
            peak_c: Temperature::k(self.peaks[i]),
            cone_position: self.position(i),
            cone_reached: self.cone(i),
            skin_core_k: TempDiff::k(self.strain[i]),
        });
        Forecast {
            feasible: !stalled && self.late.is_empty() && off_by.abs() <= 0.5,
            firing_s: Span::s(ended_s),
            segments_over_s: self.over.clone(),
            peak_c: highest,
            energy_j: Energy::j(energy),
            highest_w: highest_draw(&drawn),
            cost_cents: tariff.cost(Energy::j(energy)),
            split: EnergySplit {
                lost_j: received(model.room),
                vent_j: received(model.vent),
                stored_j: Energy::j(model.net.stored_j(y)),
                reactions_j: received(model.reactions),
            },
            zones: zones.collect(),
            cooled: model.input.opening.all().map(|t| self.cooled(t)).into(),
            notes: self.notes,
            samples: self.samples,
            doubt: None,
            across: Some(self.across.of(model)),
        }
    }

    /// Says how much power the hardest segment leaves.
    fn margin(&mut self) {
        let hardest = self
            .drawn
            .iter()
            .enumerate()
            .max_by(|a, b| a.1.0.total_cmp(&b.1.0));
        if let Some((i, (share, at_c))) = hardest {
            let words = if *share > THIN {
                "little or no power is left"
            } else {
                "power is in hand"
            };
            self.notes.push(format!(
                "Segment {} asks for {:.0} % of full power near {}: {words}.",
                i + 1,
                share.min(1.0) * 100.0,
                self.model.input.shown.temperature(Temperature::c(*at_c))
            ));
        }
    }

    /// First time after the programme at which sensor and ware are both below.
    fn cooled(&self, below: Temperature) -> Cooled {
        let warmest = |s: &Sample| s.ware_c.iter().copied().fold(s.sensor_c, Temperature::max);
        let after = |s: &&Sample| self.ended_s.is_some_and(|e| s.time_s.to_s() >= e);
        let mut before: Option<&Sample> = None;
        for s in self.samples.iter().filter(after) {
            if warmest(s) < below {
                let time = before.map_or(s.time_s, |b| {
                    let (hot, cold) = (warmest(b), warmest(s));
                    let share = (hot - below) / (hot - cold);
                    b.time_s + (s.time_s - b.time_s) * share
                });
                return Cooled {
                    below_c: below,
                    time_s: Some(time),
                };
            }
            before = Some(s);
        }
        Cooled {
            below_c: below,
            time_s: None,
        }
    }
}
