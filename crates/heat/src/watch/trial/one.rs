//! One kiln: learnt from, then watched on other days of it.

use glost_model::Span;
use glost_model::firing::FiringPlan;
use glost_model::readings::Sample;
use jiff::Timestamp;
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

use super::super::alarm::OVER;
use super::super::{AlarmKind, Event, Watch, WatchAsk};
use super::plant::{PLANTS, cooling};
use super::{Ask, Rang, Trial, Watched, Way};
use crate::kiln::KilnInput;
use crate::learn::Learnt;
use crate::learn::trial::{Draw, past};
use crate::strange::{Burn, Planted, TierTruth, Truth};

/// Nobody waits longer for an alarm after a fault, s.
const WAITS_S: f64 = 12.0 * 3600.0;

pub(super) fn kiln(ask: &Ask, number: usize) -> Trial {
    let mut all = Trial::default();
    each_day(ask, number, |firing, learnt, burn| {
        firing.watch(learnt, burn, &mut all);
    });
    all
}

/// Every day of a kiln after it was learnt from.
pub(super) fn each_day(ask: &Ask, number: usize, mut with: impl FnMut(&Firing, &Known, Burn)) {
    let mut draw = Draw::new(ask.seed, number);
    let learnt = Known::of(&mut draw, ask.learnt);
    let mut rng = ChaCha8Rng::seed_from_u64(ask.seed);
    rng.set_stream(3_000_000 + number as u64);
    let each = PLANTS.iter().enumerate();
    let faults = each.flat_map(|(i, _)| std::iter::repeat_n(Some(i), ask.faults));
    let days = std::iter::repeat_n(None, ask.clean).chain(faults);
    for (day, which) in days.enumerate() {
        let Some((load, mut plan)) = draw.next_firing() else {
            continue;
        };
        cooling(&mut plan, &mut rng);
        let fault = which
            .and_then(|i| Some((i, PLANTS.get(i)?)))
            .map(|(i, plant)| (i, plant.draw(&plan, load.bands.len(), &mut rng)));
        let on = Draw::start(ask.learnt + day);
        let planted: Vec<Planted> = fault.iter().map(|(_, p)| *p).collect();
        let mut today = draw.kiln.another_day(day as u64);
        let burn = today.begin(&plan, &load, &planted, on, Span::minutes(1.0));
        let firing = Firing {
            number,
            load,
            plan,
            on,
            fault,
        };
        with(&firing, &learnt, burn);
    }
}

/// What was learnt of a kiln: from all that its logs hold, and from its sensor alone.
pub(super) struct Known {
    whole: Learnt,
    sensor: Learnt,
}

impl Known {
    fn of(draw: &mut Draw, firings: usize) -> Self {
        let (mut whole, mut sensor) = (Learnt::nothing(), Learnt::nothing());
        for i in 0..firings {
            let Some((load, plan)) = draw.next_firing() else {
                continue;
            };
            let on = Draw::start(i);
            let fired = draw.kiln.fire(&plan, &load, &[], on, Span::minutes(1.0));
            let mut past = past(i, &load, &plan, &fired);
            whole.take(&past, 1);
            past.log = past.log.iter().map(sensor_alone).collect();
            sensor.take(&past, 1);
        }
        Self { whole, sensor }
    }
}

/// A log of nothing but the sensor.
pub(super) fn sensor_alone(sample: &Sample) -> Sample {
    Sample {
        set_point: None,
        duty: None,
        meter: None,
        others: Vec::new(),
        ..sample.clone()
    }
}

/// A firing of it.
pub(super) struct Firing {
    pub number: usize,
    pub load: KilnInput,
    pub plan: FiringPlan,
    pub on: Timestamp,
    pub fault: Option<(usize, Planted)>,
}

/// A watch on a firing.
pub(super) struct Eye {
    way: Way,
    pub watch: Watch,
    rang: Vec<Rang>,
    /// The right alarm rang: nothing more is asked of it.
    knows: bool,
}

impl Firing {
    pub(super) fn watch(&self, learnt: &Known, mut burn: Burn, all: &mut Trial) {
        let mut eyes = Vec::new();
        for way in Way::ALL {
            match self.eye(way, learnt) {
                Ok(eye) => eyes.push(eye),
                Err(why) => all.refused.push(format!("kiln {}: {why}", self.number)),
            }
        }
        let right = self.fault.and_then(|(i, _)| PLANTS.get(i)).map(|p| p.right);
        let from_s = self.fault.map_or(0.0, |(_, p)| p.at.to_s());
        while let Some(sample) = burn.next() {
            let after_s = burn.time().to_s();
            let alone = sensor_alone(&sample);
            for eye in eyes.iter_mut().filter(|e| !e.knows) {
                let seen = match eye.way {
                    Way::SensorAlone => &alone,
                    _ => &sample,
                };
                for event in eye.watch.take(seen) {
                    let Event::Began(alarm) = event else { continue };
                    eye.rang.push(Rang {
                        kind: alarm.kind,
                        after: Span::s(after_s),
                        so: false,
                    });
                    let is_right = right.is_some_and(|r| r.contains(&alarm.kind));
                    eye.knows |= is_right && after_s >= from_s;
                }
            }
            let waited = self.fault.is_some() && after_s > from_s + WAITS_S;
            if waited || eyes.iter().all(|e| e.knows) {
                break;
            }
        }
        let truth = burn.truth();
        if self.fault.is_none() && truth.gave_up {
            all.gave_up += 1;
            return;
        }
        all.watched.extend(eyes.into_iter().map(|eye| Watched {
            kiln: self.number,
            way: eye.way,
            fault: self.fault.map(|(i, p)| (i, p.at)),
            rang: eye.rang.into_iter().map(|r| self.held(r, &truth)).collect(),
        }));
    }

    pub(super) fn eye(&self, way: Way, learnt: &Known) -> Result<Eye, String> {
        let mut ask = WatchAsk::new(self.load.clone(), self.plan.clone(), self.on);
        let known = match way {
            Way::New => None,
            Way::Learnt => Some(&learnt.whole),
            Way::SensorAlone => Some(&learnt.sensor),
        };
        if let Some(believed) = known.and_then(|k| k.belief_for(&self.load)) {
            ask.believed = believed;
        }
        Ok(Eye {
            way,
            watch: Watch::new(&ask).map_err(|e| e.to_string())?,
            rang: Vec::new(),
            knows: false,
        })
    }

    /// Whether what rang was really so in a clean firing.
    fn held(&self, rang: Rang, truth: &Truth) -> Rang {
        let wanted = self.plan.cone.position();
        let middle = truth.tiers.get(truth.tiers.len() / 2);
        let so = match rang.kind {
            AlarmKind::OverFiring => middle
                .and_then(|t| t.cone)
                .is_some_and(|c| c > wanted + OVER),
            AlarmKind::Stalled => middle.is_some_and(|t| stood(t, rang.after)),
            _ => false,
        };
        Rang { so, ..rang }
    }
}

/// A cone that got hardly hotter in the hour before: a kiln so weak that it just does its programme.
fn stood(tier: &TierTruth, at: Span) -> bool {
    const HARDLY_K: f64 = 8.0;
    let when = |at: Span| {
        let i = tier.curve.partition_point(|(t, _)| *t < at);
        tier.curve.get(i).map(|(_, k)| k.to_k())
    };
    let gained = when(at).zip(when(at - Span::h(1.0)));
    gained.is_some_and(|(now, before)| now - before < HARDLY_K)
}
