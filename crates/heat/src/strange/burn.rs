//! A strange kiln while it fires: sample by sample.

use glost_model::firing::FiringPlan;
use glost_model::readings::Sample;
use glost_model::{Energy, Span, Temperature};
use jiff::Timestamp;

use super::chance::Chance;
use super::control::Controller;
use super::fault::{Planted, Wrong};
use super::grid::Grid;
use super::nature::{Nature, Today};
use super::room::{around_k, hour, room_k};
use super::sense::Sensor;
use super::step::{Outside, Stepper};
use super::truth::{Truth, Witness, later};
use crate::kiln::KilnInput;

/// Longest firing with its cooling, s.
const MOST_S: f64 = 120.0 * 3600.0;
/// Area of a plug's hole of 40 mm, m².
const PLUG_M2: f64 = 1.26e-3;
/// Plugs out and lid ajar, before they are put in, m².
const VENTED_M2: f64 = 7e-4;
/// Gap of a lid that is open altogether, m² for each m² of plan.
const LID_GAP: f64 = 0.25;
/// A meter shows hundredths of a kilowatt hour.
const METER_J: f64 = 36_000.0;
/// Air moved by a vent fan, kg/s.
const FAN: f64 = 2.2e-4;

/// What a firing begins with.
pub(super) struct Begun<'a> {
    pub base: &'a KilnInput,
    pub nature: &'a Nature,
    pub today: Today,
    pub load: &'a KilnInput,
    pub faults: Vec<Planted>,
}

/// A firing under way: an iterator of what is logged. It ends when the kiln may be unloaded.
#[derive(Debug, Clone)]
pub struct Burn {
    nature: Nature,
    today: Today,
    faults: Vec<Planted>,
    plan: FiringPlan,
    start: Timestamp,
    every_s: f64,
    chance: Chance,
    kiln: Stepper,
    control: Controller,
    sensor: Sensor,
    /// Sensor of each group of elements in a kiln that controls them apart.
    own: Vec<Sensor>,
    /// Group of each band.
    group_of: Vec<usize>,
    witnesses: Vec<Witness>,
    height_m: f64,
    vent_fan: bool,
    plugs_in_k: Option<f64>,
    open_k: f64,
    unload_k: f64,
    time_s: f64,
    wander: f64,
    wrong: Wrong,
    was_dead: bool,
    open_at: Option<f64>,
    done: bool,
    /// Command of the controller since the last sample, and its time, s.
    asked: (f64, f64),
    drawn: Vec<f64>,
}

impl Burn {
    pub(super) fn new(
        begun: Begun<'_>,
        plan: &FiringPlan,
        start: Timestamp,
        every: Span,
        chance: Chance,
    ) -> Self {
        let Begun {
            base,
            nature,
            today,
            load,
            faults,
        } = begun;
        let start_k = room_k(nature, &today, start, 0.0);
        let grid = Grid::new(base, load, nature, &today, start_k);
        let bands = base.bands.len();
        let groups = if base.zoned { bands.max(1) } else { 1 };
        let sheath = |slice| Sensor::new(nature.sensor, slice, today.drifted, start_k);
        let sensor = sheath(grid.sensor);
        let own = if base.zoned {
            grid.band_slice.iter().map(|s| sheath(*s)).collect()
        } else {
            Vec::new()
        };
        let witnesses = grid
            .tiers
            .iter()
            .map(|t| Witness::new(t.name.clone(), t.slice, start_k))
            .collect();
        Self {
            kiln: Stepper::new(grid),
            control: Controller::new(nature.control, plan, groups, start_k),
            sensor,
            own,
            group_of: (0..bands).map(|b| if base.zoned { b } else { 0 }).collect(),
            witnesses,
            height_m: base.height.to_m(),
            vent_fan: base.vent_fan,
            plugs_in_k: load.plugs_in_at.map(|t| t.to_k() + today.plugs_late),
            open_k: load.opening.open.to_k(),
            unload_k: load.opening.unload.to_k(),
            time_s: 0.0,
            wander: 0.0,
            wrong: Wrong::at(&faults, 0.0, bands),
            was_dead: false,
            open_at: None,
            done: false,
            asked: (0.0, 0.0),
            drawn: vec![0.0; bands],
            nature: nature.clone(),
            today,
            faults,
            plan: plan.clone(),
            start,
            every_s: every.to_s().clamp(1.0, 3600.0),
            chance,
        }
    }

    /// Time since the start.
    pub fn time(&self) -> Span {
        Span::s(self.time_s)
    }

    /// The truth so far.
    pub fn truth(&self) -> Truth {
        let mut chance = self.chance.clone();
        let opened = later(self.start, Span::s(self.open_at.unwrap_or(self.time_s)));
        let over = |i: usize| self.control.over_s.get(i).copied().map(Span::s);
        let mut ledger = self.kiln.ledger;
        ledger.stored_j = self.kiln.stored_j();
        let last = self.plan.segments.len().checked_sub(1);
        Truth {
            tiers: self.witnesses.iter().map(Witness::truth).collect(),
            cones: self
                .witnesses
                .iter()
                .flat_map(|w| w.read(self.plan.cone, opened, &mut chance))
                .collect(),
            energy: Energy::j(ledger.drawn_j),
            peak_over: self.plan.peak().and_then(over),
            over: last.and_then(over),
            open: self.open_at.map(Span::s),
            gave_up: self.control.gave_up,
            ledger,
        }
    }

    /// One step of time.
    fn step(&mut self, dt: f64) {
        let bands = self.drawn.len();
        if !self.faults.is_empty() {
            self.wrong = Wrong::at(&self.faults, self.time_s, bands);
        }
        let room = room_k(&self.nature, &self.today, self.start, self.time_s);
        self.sensor.follow(&self.kiln, dt);
        for s in &mut self.own {
            s.follow(&self.kiln, dt);
        }
        self.switch(dt, room);
        let volts = self.mains(dt) * self.wrong.mains;
        for b in 0..bands {
            let group = self.group_of.get(b).copied().unwrap_or(0);
            let stuck = self.wrong.stuck.get(b) == Some(&true);
            let on = match (self.wrong.dead, stuck) {
                (true, _) => 0.0,
                (_, true) => 1.0,
                _ => self.control.on_share(group, dt),
            };
            let left = self.wrong.bands.get(b).copied().unwrap_or(1.0);
            self.drawn[b] = volts * volts * left * on;
        }
        self.control.pass(dt);
        let outside = self.outside(room);
        self.kiln.step(dt, &outside);
        for w in &mut self.witnesses {
            let around = around_k(&self.kiln, w.slice);
            w.follow(around, dt);
        }
        self.time_s += dt;
    }

    /// The controller thinks.
    fn switch(&mut self, dt: f64, room: f64) {
        if self.wrong.dead {
            self.was_dead = true;
            return;
        }
        let beside = |slice: usize| {
            let bands = self.kiln.grid.slices.get(slice).map(|s| &s.bands);
            let on = bands.into_iter().flatten().map(|b| self.drawn.get(b.0));
            on.flatten().copied().fold(0.0, f64::max).min(1.0)
        };
        // Relays click faster than a sheath feels: the share that is asked for counts.
        let share = self.control.duty();
        let main = self.kiln.grid.sensor;
        let reads = |s: &Sensor, slice: usize| {
            let on = share.max(beside(slice) * 0.2);
            s.reads_k(&self.kiln, &self.wrong, on, room)
        };
        let main_k = reads(&self.sensor, main);
        let own = self.own.iter().zip(&self.kiln.grid.band_slice);
        let mut all: Vec<Option<f64>> = own.map(|(s, slice)| reads(s, *slice)).collect();
        if all.is_empty() {
            all.push(main_k);
        }
        let Some(main_k) = main_k else {
            self.control.give_up();
            return;
        };
        let all: Vec<f64> = all.into_iter().map(|r| r.unwrap_or(main_k)).collect();
        if self.was_dead {
            self.was_dead = false;
            self.control.resume(main_k, self.time_s);
        }
        self.control.tick(dt, self.time_s, main_k, &all);
        self.asked.0 += self.control.duty() * dt;
        self.asked.1 += dt;
    }

    fn mains(&mut self, dt: f64) -> f64 {
        // Forgets itself within half an hour.
        let keep = (-dt / 1800.0).exp();
        let push = self.nature.wanders * (1.0 - keep * keep).sqrt();
        self.wander = self.wander * keep + self.chance.normal(push);
        let hour = hour(self.start, self.time_s);
        let busy = (1.0 - ((hour - 18.5) / 2.0).powi(2)).max(0.0);
        self.nature.mains + self.wander - self.nature.evening * busy
    }

    fn outside(&self, room_k: f64) -> Outside {
        let vented = self.plugs_in_k.is_some() && !self.control.is_off();
        let grid = &self.kiln.grid;
        Outside {
            bands: self.drawn.clone(),
            room_k,
            leak_m2: self.today.seam
                + if vented { VENTED_M2 } else { 0.0 }
                + self.wrong.plugs * PLUG_M2
                + self.wrong.lid * LID_GAP * grid.plan_m2 * 0.2,
            fan_kg_per_s: if self.vent_fan && !self.wrong.dead {
                FAN * self.nature.fan
            } else {
                0.0
            },
            lid_m2: self.wrong.lid * LID_GAP * grid.plan_m2,
            wire: self.nature.wire,
            height_m: self.height_m,
        }
    }

    fn look(&mut self) -> Option<Sample> {
        let time = Span::s(self.time_s);
        for w in &mut self.witnesses {
            w.write(time);
        }
        let room = room_k(&self.nature, &self.today, self.start, self.time_s);
        let share = self.control.duty();
        let shown = self.sensor.reads_k(&self.kiln, &self.wrong, share, room);
        if let (Some(plugs), Some(reads)) = (self.plugs_in_k, shown)
            && reads > plugs
        {
            self.plugs_in_k = None;
        }
        let warm = |n: &usize| self.kiln.temps.get(*n).copied();
        let ware = self
            .kiln
            .grid
            .slices
            .iter()
            .flat_map(|s| [s.outer, s.inner]);
        let warmest = ware.flatten().filter_map(|n| warm(&n)).fold(0.0, f64::max);
        let warmest = warmest.max(self.kiln.space_k(self.kiln.grid.sensor));
        if self.control.is_off() {
            if warmest < self.open_k && self.open_at.is_none() {
                self.open_at = Some(self.time_s);
            }
            self.done |= warmest < self.unload_k;
        }
        self.done |= self.time_s > MOST_S;
        if self.wrong.dead {
            return None;
        }
        let whole = |k: f64| Temperature::c((k - 273.15).round());
        let noise = self.sensor.noise(&mut self.chance);
        let asked = std::mem::take(&mut self.asked);
        let meter = self.kiln.ledger.drawn_j * self.nature.meter;
        let mut others = Vec::new();
        for (i, s) in self.own.iter().enumerate() {
            let read = s.reads_k(&self.kiln, &self.wrong, share, room);
            others.extend(read.map(|k| (format!("zone {}", i + 1), whole(k))));
        }
        Some(Sample {
            at: later(self.start, time),
            sensor: shown.map(|k| whole(k + noise)),
            set_point: self.control.set_point_k().map(whole),
            duty: Some(if asked.1 > 0.0 {
                (asked.0 / asked.1).clamp(0.0, 1.0)
            } else {
                0.0
            }),
            meter: Some(Energy::j((meter / METER_J).round() * METER_J)),
            others,
        })
    }
}

impl Iterator for Burn {
    type Item = Sample;

    fn next(&mut self) -> Option<Sample> {
        loop {
            if self.done {
                return None;
            }
            let first = self.time_s <= 0.0 && self.witnesses.iter().all(|w| w.curve.is_empty());
            if !first {
                let until = self.time_s + self.every_s;
                while self.time_s < until - 1e-6 {
                    let dt = self.kiln.longest().min(until - self.time_s);
                    let dt = dt.min(self.control.cycle_left_s());
                    self.step(dt);
                }
            }
            if let Some(sample) = self.look() {
                return Some(sample);
            }
        }
    }
}
