//! What alarms are judged by.

use glost_model::firing::FiringPlan;
use glost_model::shown::Shown;
use glost_model::{Rate, TempDiff, Temperature};

use super::super::asked::Share;
use super::super::evidence::{Fault, Sign};
use super::super::intake::Batch;
use super::super::track::Phase;
use crate::kiln::KilnInput;

/// A few minutes of a firing, as they were understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// When it ended, s, and how long it was.
    pub to_s: f64,
    pub long_s: f64,
    /// What the sensor showed at its end, K.
    pub reading_k: Option<f64>,
    /// Its rate, K/s; zero where none was read.
    pub rate: f64,
    /// Set point, K.
    pub set_k: f64,
    pub set_told: bool,
    pub segment: usize,
    pub phase: Phase,
    /// Rate of the segment, K/s.
    pub planned: Option<f64>,
    /// The plan lets the kiln fall here.
    pub falls: bool,
    /// Share of full power asked for.
    pub asked: Option<Share>,
    /// Share that the kiln took, by what is believed of it now.
    pub share: f64,
    /// Power by the meter over that which is believed of the kiln.
    pub metered: Option<f64>,
    /// Ware of each zone, K.
    pub ware_k: Vec<f64>,
    /// Nothing was read; the kiln was led by its programme.
    pub coasted: bool,
    /// How rough the readings are, K.
    pub rough_k: Option<f64>,
    /// The sensor jumped by so much from one reading to the next, K.
    pub jump_k: f64,
}

impl Stretch {
    /// How far the set point is above the sensor, K.
    pub fn lag_k(&self) -> Option<f64> {
        Some(self.set_k - self.reading_k?)
    }

    /// The controller tells that it asks for next to nothing: it has ended, or given up.
    pub fn off(&self) -> bool {
        const OFF: f64 = 0.02;
        self.asked.is_some_and(|a| a.told && a.now < OFF)
    }
}

/// What is foreseen of the middle of the kiln.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Near {
    /// Cone position, and its standard deviation.
    pub cone: f64,
    pub deviation: f64,
    /// What the plan itself leads to, in the kiln as it was described.
    pub planned: f64,
}

/// A firing so far.
pub struct View<'a> {
    pub now_s: f64,
    pub batch: &'a Batch,
    pub plan: &'a FiringPlan,
    pub input: &'a KilnInput,
    /// The last one is now.
    pub past: &'a [Stretch],
    /// Likeliest faults by how they show.
    pub faults: &'a [Option<Fault>],
    pub near: Option<Near>,
    /// The kiln is known better than from its description.
    pub known: bool,
    /// First reading, K.
    pub first_k: f64,
    /// What the cone of the middle has received, in words that take long to work out.
    pub so_far: &'a dyn Fn() -> String,
}

impl View<'_> {
    pub fn shown(&self) -> Shown {
        self.input.shown
    }

    /// The last stretches that together lasted at least this long, s; fewer when there are no more.
    pub fn lately(&self, for_s: f64) -> &[Stretch] {
        let from = self.now_s - for_s + 1.0;
        let first = self
            .past
            .iter()
            .rposition(|s| s.to_s <= from)
            .map_or(0, |i| i + 1);
        self.past.get(first..).unwrap_or_default()
    }

    /// Whether something held in all of the last stretches of at least this long, s.
    pub fn all_lately(&self, for_s: f64, holds: impl Fn(&Stretch) -> bool) -> bool {
        let these = self.lately(for_s);
        let long: f64 = these.iter().map(|s| s.long_s).sum();
        long >= for_s * 0.8 && these.iter().all(holds)
    }

    pub fn now(&self) -> Option<&Stretch> {
        self.past.last()
    }

    /// The segment that runs leads down.
    pub fn cools(&self) -> bool {
        let target = |i: usize| self.plan.segments.get(i).map(|s| s.target);
        let here = self.now().map_or(0, |s| s.segment);
        let before = here.checked_sub(1).and_then(target);
        target(here).zip(before).is_some_and(|(t, b)| t < b)
    }

    pub fn fault(&self, sign: Sign) -> Option<&Fault> {
        self.faults.iter().flatten().find(|f| f.sign == sign)
    }

    pub fn temperature(&self, k: f64) -> String {
        self.shown().temperature(Temperature::k(k))
    }

    pub fn difference(&self, k: f64) -> String {
        self.shown().difference(TempDiff::k(k))
    }

    pub fn rate(&self, k_per_s: f64) -> String {
        self.shown().rate(Rate::k_per_s(k_per_s))
    }

    /// The hottest target of the programme, K.
    pub fn highest_k(&self) -> f64 {
        let targets = self.plan.segments.iter().map(|s| s.target.to_k());
        targets.fold(0.0, f64::max)
    }

    /// How much more is asked for than the kiln takes of late than in the hour before a fall; nothing while nothing was
    /// asked for, or what is asked for still changes. Right after it the wall and a sensor in it take their time.
    pub fn more_asked_since(&self, fall: &Stretch) -> Option<f64> {
        const BEFORE_S: f64 = 3600.0;
        const SETTLED_S: f64 = 600.0;
        const LATELY_S: f64 = 900.0;
        const COUNTS: f64 = 0.3;
        let mean = |from_s: f64, to_s: f64| {
            let these = self
                .past
                .iter()
                .filter(|s| s.to_s > from_s && s.to_s <= to_s);
            let asked =
                these.filter_map(|s| Some((s.asked.filter(|a| !a.told || a.counts >= COUNTS)?, s)));
            let all: Vec<f64> = asked.map(|(a, s)| a.smooth - s.share).collect();
            (!all.is_empty()).then(|| all.iter().sum::<f64>() / all.len() as f64)
        };
        let from_s = fall.to_s - fall.long_s;
        let before = mean(from_s - BEFORE_S, from_s + 1.0).unwrap_or(0.0);
        let since_s = (fall.to_s + SETTLED_S).max(self.now_s - LATELY_S);
        Some(mean(since_s, f64::INFINITY)? - before)
    }

    /// The sensor fell or rose faster than a shut kiln can, at the end of this stretch: the share that it took is
    /// beyond what any power does.
    pub fn sudden_fall(&self, for_s: f64) -> Option<&Stretch> {
        let these = self.lately(for_s);
        these.iter().rev().find(|s| !s.coasted && fell(s))
    }
}

/// The share that a stretch took tells of a fall that no shut kiln makes, or the sensor jumped down; a kiln that was
/// hardly warm has no such limit.
pub fn fell(s: &Stretch) -> bool {
    const FELL: f64 = -0.10;
    let warm = s.reading_k.is_some_and(|k| k > 373.0);
    let falls = s.share < FELL && s.rate * 3600.0 < -60.0;
    warm && (falls || s.jump_k <= -JUMP_K)
}

/// A kiln that falls as if it took less than this share is not only off but open: for a quarter of an hour after its power
/// went off a shut one may seem to take a tenth less than nothing.
pub const SHUT: f64 = -0.15;
/// A sensor in its sheath trails: from one minute to the next it changes by less than this, K.
pub const JUMP_K: f64 = 9.0;
