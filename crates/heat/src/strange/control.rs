//! A controller unlike the model's own: three terms, an integral that winds up, relays that are on or off.

use glost_model::firing::{FiringPlan, Segment};

use super::nature::Gains;

/// What it is doing.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Doing {
    Ramp,
    Soak { left_s: f64 },
    Off,
}

/// What one group of elements is switched by.
#[derive(Debug, Clone, Copy, Default)]
struct Loop {
    integral: f64,
    before: Option<f64>,
    on_s: f64,
}

/// The controller in the middle of a programme.
#[derive(Debug, Clone)]
pub struct Controller {
    gains: Gains,
    segments: Vec<Segment>,
    at: usize,
    doing: Doing,
    set_k: f64,
    /// The segment leads up.
    rises: bool,
    loops: Vec<Loop>,
    /// Time in this cycle of the relays, s.
    phase_s: f64,
    /// When it was last at less than full power or gained, s, and what it read.
    mark: (f64, f64),
    /// Ends of segments, s.
    pub over_s: Vec<f64>,
    pub gave_up: bool,
}

/// No time at all, s.
const INSTANT_S: f64 = 1e-6;
/// Nearly full power.
const FULL: f64 = 0.97;
/// A gain that counts, K.
const GAIN_K: f64 = 5.0;
/// A reading that falls by this at full power means crossed leads, K.
const FALLS_K: f64 = 12.0;

impl Controller {
    pub fn new(gains: Gains, plan: &FiringPlan, groups: usize, reads_k: f64) -> Self {
        let mut all = Self {
            gains,
            segments: plan.segments.clone(),
            at: 0,
            doing: Doing::Ramp,
            set_k: reads_k,
            rises: true,
            loops: vec![Loop::default(); groups.max(1)],
            phase_s: f64::INFINITY,
            mark: (0.0, reads_k),
            over_s: Vec::new(),
            gave_up: false,
        };
        all.enter();
        all
    }

    /// Begins the segment that is next.
    fn enter(&mut self) {
        self.doing = match self.segments.get(self.at) {
            Some(segment) => {
                self.rises = segment.target.to_k() >= self.set_k;
                Doing::Ramp
            }
            None => Doing::Off,
        };
    }

    pub fn is_off(&self) -> bool {
        self.doing == Doing::Off
    }

    /// Nothing once the programme is over.
    pub fn set_point_k(&self) -> Option<f64> {
        (!self.is_off()).then_some(self.set_k)
    }

    /// Share of the next `dt` that a group is on: relays click within a step too.
    pub fn on_share(&self, group: usize, dt: f64) -> f64 {
        match self.loops.get(group) {
            Some(l) if !self.is_off() => ((l.on_s - self.phase_s) / dt).clamp(0.0, 1.0),
            _ => 0.0,
        }
    }

    /// Until its relays begin a new cycle, s: no step goes beyond that.
    pub fn cycle_left_s(&self) -> f64 {
        let left = self.gains.cycle_s - self.phase_s;
        if left > INSTANT_S {
            left
        } else {
            self.gains.cycle_s
        }
    }

    /// Time has gone on.
    pub fn pass(&mut self, dt: f64) {
        self.phase_s += dt;
    }

    /// Share of the cycle that the groups are on, in the mean.
    pub fn duty(&self) -> f64 {
        if self.is_off() {
            return 0.0;
        }
        let on: f64 = self.loops.iter().map(|l| l.on_s).sum();
        (on / self.gains.cycle_s / self.loops.len() as f64).clamp(0.0, 1.0)
    }

    /// After a cut it goes on from where the kiln is.
    pub fn resume(&mut self, reads_k: f64, time_s: f64) {
        self.set_k = reads_k;
        self.mark = (time_s, reads_k);
        self.loops.fill(Loop::default());
        self.phase_s = f64::INFINITY;
    }

    pub fn give_up(&mut self) {
        self.gave_up = true;
        self.doing = Doing::Off;
    }

    /// Before a step of `dt`. `main_k` is the reading that the programme follows, `reads` those of the groups.
    pub fn tick(&mut self, dt: f64, time_s: f64, main_k: f64, reads: &[f64]) {
        if self.is_off() {
            return;
        }
        self.programme(dt, time_s, main_k);
        if self.phase_s >= self.gains.cycle_s - INSTANT_S {
            let cycle = self.gains.cycle_s;
            self.phase_s = 0.0;
            for (l, reads_k) in self.loops.iter_mut().zip(reads) {
                l.think(&self.gains, self.set_k, *reads_k, cycle);
            }
            self.watch(time_s, main_k);
        }
    }

    fn programme(&mut self, dt: f64, time_s: f64, main_k: f64) {
        let Some(segment) = self.segments.get(self.at) else {
            self.doing = Doing::Off;
            return;
        };
        let target = segment.target.to_k();
        match &mut self.doing {
            Doing::Ramp => {
                let rising = self.rises;
                let lag = (self.set_k - main_k) * if rising { 1.0 } else { -1.0 };
                match segment.rate {
                    None => self.set_k = target,
                    Some(rate) if lag < self.gains.waits => {
                        let by = rate.to_k_per_s().abs() * dt;
                        self.set_k += (target - self.set_k).clamp(-by, by);
                    }
                    Some(_) => {}
                }
                let arrived = self.gains.arrived;
                let near = (main_k - target).abs() <= arrived
                    || if rising {
                        main_k > target
                    } else {
                        main_k < target
                    };
                if (self.set_k - target).abs() < 1e-9 && near {
                    self.doing = Doing::Soak {
                        left_s: segment.hold.to_s(),
                    };
                }
            }
            Doing::Soak { left_s } => {
                *left_s -= dt;
                if *left_s <= 0.0 {
                    self.over_s.push(time_s);
                    self.at += 1;
                    self.enter();
                }
            }
            Doing::Off => {}
        }
    }

    fn watch(&mut self, time_s: f64, main_k: f64) {
        if self.duty() < FULL || main_k > self.mark.1 + GAIN_K {
            self.mark = (time_s, main_k);
        }
        let long = time_s - self.mark.0 > self.gains.patience_s;
        let falls = time_s - self.mark.0 > 900.0 && main_k < self.mark.1 - FALLS_K;
        if long || falls {
            self.give_up();
        }
    }
}

impl Loop {
    fn think(&mut self, g: &Gains, set_k: f64, reads_k: f64, cycle_s: f64) {
        let error = set_k - reads_k;
        let falls = self.before.map_or(0.0, |b| (b - reads_k) / cycle_s);
        self.before = Some(reads_k);
        let part = error / g.band;
        self.integral = (self.integral + part * cycle_s / g.integral_s).clamp(-0.2, g.windup);
        let wanted = (part + self.integral + falls * g.derivative_s / g.band).clamp(0.0, 1.0);
        self.on_s = (wanted * cycle_s / g.least_s).round() * g.least_s;
    }
}
