//! The guard behind every source: says what is odd about a sample, withholds what cannot be, and mends nothing.
//!
//! One sample in, one out, in the same order. What passes has times that never run back. The same samples always
//! get the same remarks.

mod channel;
mod clock;
pub mod limit;
mod remark;

use std::collections::BTreeMap;

use jiff::Timestamp;

use glost_model::readings::Sample;
use glost_model::{Energy, Span, Temperature};

use crate::event::Heard;
use channel::Channel;
use clock::ClockGuard;
pub use remark::{Part, Remark, What};

/// Most further sensors that are watched; more pass by.
const MOST_OTHERS: usize = 64;

/// Watches the samples of one kiln during one firing.
#[derive(Debug, Default)]
pub struct Guard {
    clock: ClockGuard,
    latest: Option<Sample>,
    channels: BTreeMap<Part, Channel>,
    meter: Option<(Timestamp, Energy)>,
}

pub(crate) fn between(from: Timestamp, to: Timestamp) -> Span {
    Span::s(to.duration_since(from).as_secs_f64())
}

impl Guard {
    /// Goes on after a restart: `latest` is the last sample that was heard, so that a hot kiln is not taken for a room.
    pub fn after(latest: Sample) -> Self {
        let mut guard = Self::default();
        let heard = guard.hear(latest);
        guard.latest = Some(heard.sample);
        guard
    }

    /// Looks at the next sample.
    pub fn hear(&mut self, mut sample: Sample) -> Heard {
        let mut remarks = Vec::new();
        let same = self.latest.as_ref() == Some(&sample);
        if let Some(what) = self.clock.judge(sample.at, same) {
            let withheld = !matches!(what, What::Gap { .. });
            remarks.push(Remark {
                part: Part::Time,
                withheld,
                what,
            });
            if withheld {
                let sample = empty(sample.at);
                return Heard { sample, remarks };
            }
        }
        self.latest = Some(sample.clone());
        let at = sample.at;
        let mut note = |part: &Part, withheld: bool, what: What| {
            let part = part.clone();
            remarks.push(Remark {
                part,
                withheld,
                what,
            });
            withheld
        };
        let set_point = sample
            .set_point
            .filter(|t| channel::range(*t).is_none_or(|what| !note(&Part::SetPoint, true, what)));
        sample.set_point = set_point;
        sample.sensor = self.temperature(Part::Sensor, at, sample.sensor, set_point, &mut note);
        sample.others = self.others(at, std::mem::take(&mut sample.others), &mut note);
        sample.duty = sample.duty.filter(|d| {
            let what = match *d {
                d if !d.is_finite() => What::NoNumber,
                d if (0.0..=1.0).contains(&d) => return true,
                found => What::DutyOutOfRange { found },
            };
            !note(&Part::Duty, true, what)
        });
        sample.meter = sample.meter.filter(|m| match self.judge_meter(at, *m) {
            None => true,
            Some((what, withheld)) => !note(&Part::Meter, withheld, what),
        });
        for (part, channel) in &mut self.channels {
            if let Some(what) = channel.absence(at) {
                note(part, false, what);
            }
        }
        Heard { sample, remarks }
    }

    fn temperature(
        &mut self,
        part: Part,
        at: Timestamp,
        found: Option<Temperature>,
        set_point: Option<Temperature>,
        note: &mut impl FnMut(&Part, bool, What) -> bool,
    ) -> Option<Temperature> {
        let found = found?;
        if !self.channels.contains_key(&part) && self.channels.len() > MOST_OTHERS {
            return Some(found);
        }
        let channel = self.channels.entry(part.clone()).or_default();
        let mut passes = true;
        for (what, withheld) in channel.judge(at, found, set_point) {
            passes &= !note(&part, withheld, what);
        }
        passes.then_some(found)
    }

    fn others(
        &mut self,
        at: Timestamp,
        others: Vec<(String, Temperature)>,
        note: &mut impl FnMut(&Part, bool, What) -> bool,
    ) -> Vec<(String, Temperature)> {
        let mut passed: Vec<(String, Temperature)> = Vec::with_capacity(others.len());
        for (name, found) in others {
            let part = Part::Other(name.clone());
            if passed.iter().any(|(n, _)| *n == name) {
                note(&part, true, What::NameTwice);
            } else if let Some(found) = self.temperature(part, at, Some(found), None, note) {
                passed.push((name, found));
            }
        }
        passed
    }

    fn judge_meter(&mut self, at: Timestamp, found: Energy) -> Option<(What, bool)> {
        if !found.is_finite() {
            return Some((What::NoNumber, true));
        }
        if found < Energy::ZERO {
            return Some((What::MeterBelowZero, true));
        }
        let (then, before) = self.meter.replace((at, found))?;
        let rise = found - before;
        if rise < Energy::ZERO {
            return Some((What::MeterFell { by: rise.abs() }, false));
        }
        let hours = between(then, at).to_h().max(1.0 / 3600.0);
        let power = glost_model::Power::kw(rise.to_kwh() / hours);
        let leapt = rise > limit::METER_STEP.default && power > limit::POWER.default;
        leapt.then_some((What::MeterLeapt { power }, false))
    }
}

/// A sample of this time with nothing in it.
const fn empty(at: Timestamp) -> Sample {
    Sample {
        at,
        sensor: None,
        set_point: None,
        duty: None,
        meter: None,
        others: Vec::new(),
    }
}
