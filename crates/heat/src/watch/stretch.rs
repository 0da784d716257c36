//! A few minutes of a log, taken in.

use super::alarm::{AlarmKind, Stretch, View};
use super::asked::{Seen, Share};
use super::evidence::{Sides, Sign, Told};
use super::follow::FELL_K;
use super::intake::Batch;
use super::kilns::Kilns;
use super::track::{Phase, Track};
use super::{Event, Watch};
use crate::kiln::Drive;

/// A hole in the log longer than this is bridged by the programme, not by a straight line, s.
const HOLE_S: f64 = 2700.0;
/// A longer one is so even when the kiln has fallen in it, s.
const LONG_HOLE_S: f64 = 4.0 * 3600.0;
/// A hole that is long beside what was logged before, s.
pub const GAP_S: f64 = 780.0;
/// After a hole, or anything that breaks the sensor's curve, what was asked for does not count for so long, s.
const SETTLES_S: f64 = 2400.0;

impl Watch {
    pub(super) fn stretch(&mut self, batch: &Batch) -> Vec<Event> {
        let from_s = self.now_s();
        let long_s = batch.to_s - from_s;
        let before_k = self.past.last().and_then(|s| s.reading_k);
        let blind = self.blind();
        let read = batch.reading_k.filter(|_| !blind);
        if self.first_k.is_none()
            && let Some(k) = read
        {
            self.first_k = Some(k);
            if from_s <= 0.0 && batch.to_s <= HOLE_S {
                self.begin(k);
            }
        }
        // A kiln that has fallen in a hole of the log was without power too.
        let fell = read.zip(before_k).is_some_and(|(k, b)| k < b - FELL_K);
        // One duty tells nothing of a time in which nothing was logged.
        let usual_s = self.past.last().map_or(long_s, |s| s.long_s);
        if long_s >= GAP_S && usual_s <= 0.5 * long_s {
            self.settles_s = batch.to_s + SETTLES_S;
            self.asked.forget();
            self.metered = None;
        }
        let coasts = read.is_none() || long_s > HOLE_S && !(fell && long_s < LONG_HOLE_S);
        let mut over = Vec::new();
        let took = if coasts {
            self.settles_s = batch.to_s + SETTLES_S;
            self.asked.forget();
            self.metered = None;
            self.coast(batch, &mut over)
        } else {
            let k = read.unwrap_or_default();
            over.extend(self.track.step(&self.ask.plan, long_s, k, batch.set_k));
            let shut = self.track.phase == Phase::Over;
            self.kilns.lead(batch.to_s, k, Drive::Seen, shut)
        };
        let Ok(took) = took else {
            self.settles_s = batch.to_s + SETTLES_S;
            return self.reached(over, batch.to_s);
        };
        let (share, _) = self.off.figure(took.share, &took.slopes);
        if !coasts {
            self.align(batch, share, &mut over);
        }
        let rate = match (batch.reading_k, before_k) {
            (Some(k), Some(b)) if !coasts => (k - b) / long_s,
            _ => 0.0,
        };
        let planned = self.track.segment_of(&self.ask.plan);
        let planned = planned.and_then(|(target, rate)| {
            let up = target >= self.track.set_k - 1.0;
            rate.map(|r| if up { r.abs() } else { -r.abs() })
        });
        let lag_k = read.map_or(0.0, |k| self.track.set_k - k);
        let falls = planned.is_some_and(|p| p < 0.0) || self.falls_freely();
        let asked = if coasts {
            None
        } else {
            self.asked.step(&Seen {
                long_s,
                duty: batch.duty,
                lag_k: if falls { lag_k.min(0.0) } else { lag_k },
                rate,
                planned: planned.filter(|_| self.track.phase == Phase::Ramp),
                over: self.track.phase == Phase::Over && !self.stays(batch),
                climbs: !falls && self.track.phase != Phase::Over,
            })
        };
        let full_w = self.kilns.middle().full_w();
        let zones = self.kilns.middle().model().zones.len();
        let ware = (0..zones).map(|z| self.kilns.at(&self.off.by, |l| l.ware_k(z)));
        let now = Stretch {
            to_s: batch.to_s,
            long_s,
            reading_k: batch.reading_k,
            rate,
            set_k: self.track.set_k,
            set_told: self.track.told,
            segment: self.track.segment,
            phase: self.track.phase,
            planned: planned.filter(|_| self.track.phase == Phase::Ramp),
            falls,
            asked,
            share,
            metered: batch.metered_w.map(|w| w / (full_w * self.power())),
            ware_k: ware.collect(),
            coasted: coasts,
            rough_k: batch.rough_k,
            jump_k: batch.jump_k,
        };
        if !coasts && let Some(asked) = asked {
            let settled = batch.to_s >= self.settles_s;
            let sane = share > -0.2 && share < 1.6 && !super::alarm::fell(&now);
            if !sane {
                self.settles_s = self.settles_s.max(batch.to_s + SETTLES_S / 2.0);
            }
            let room_k = self.ask.kiln.room.to_k();
            let told = Told {
                to_s: batch.to_s,
                long_s,
                asked: asked.smooth,
                share: took.share,
                slopes: took.slopes,
                over_k: batch.reading_k.map_or(0.0, |k| k - room_k),
                counts: if settled && sane { asked.counts } else { 0.0 },
                sides: Sides::Whole,
            };
            self.tell(told, asked, batch);
        }
        self.past.push(now);
        self.judge();
        let mut events = self.reached(over, batch.to_s);
        events.extend(self.ring(batch));
        events
    }

    /// A meter says which half of the way from controller to heat a misfit is in.
    fn tell(&mut self, told: Told, asked: Share, batch: &Batch) {
        let power = self.kilns.belief().power();
        let metered = batch.metered_w.filter(|w| *w >= 0.0 && asked.told);
        let (Some(watts), Some(power)) = (metered, power) else {
            self.evidence.push(told);
            return;
        };
        let metered = watts / self.kilns.middle().full_w();
        let mut slopes = vec![0.0; told.slopes.len()];
        if let Some(slope) = slopes.get_mut(power) {
            *slope = -metered;
        }
        let wires = Told {
            asked: asked.now,
            share: metered,
            slopes,
            counts: if batch.to_s >= self.settles_s {
                1.0
            } else {
                0.0
            },
            sides: Sides::Wires,
            ..told.clone()
        };
        let smooth = self.metered.map_or(metered, |m| {
            m + (metered - m) * (1.0 - (-told.long_s / super::asked::LAG_S).exp())
        });
        self.metered = Some(smooth);
        let mut heat = Told {
            asked: smooth,
            sides: Sides::Heat,
            ..told
        };
        if let Some(slope) = heat.slopes.get_mut(power) {
            *slope = 0.0;
        }
        self.evidence.push(wires);
        self.evidence.push(heat);
    }

    /// What the sensor shows is not to be believed.
    fn blind(&self) -> bool {
        [
            AlarmKind::SensorReversed,
            AlarmKind::SensorErratic,
            AlarmKind::SensorFrozen,
        ]
        .iter()
        .any(|k| self.bell.is_on(*k))
    }

    /// Nobody told that the programme is over, and the kiln still stands where it ends: a weak one arrives later than was
    /// worked out, and its controller holds.
    fn stays(&self, batch: &Batch) -> bool {
        let last = self.ask.plan.segments.last();
        let off = last.zip(batch.reading_k);
        let told = || {
            let tells = |s: &Stretch| s.set_told || s.asked.is_some_and(|a| a.told);
            self.told_off || batch.duty.is_some() || self.past.iter().any(tells)
        };
        off.is_some_and(|(s, k)| (k - s.target.to_k()).abs() < FELL_K) && !told()
    }

    /// The kiln may be warm from its last firing.
    fn begin(&mut self, k: f64) {
        if self.kilns.warm(k).is_ok() {
            self.track = Track::new(&self.ask.plan, k.max(self.ask.kiln.room.to_k()));
        }
    }

    /// Power of the kiln over that of its description, as believed now.
    fn power(&self) -> f64 {
        let belief = self.kilns.belief();
        let power = belief.power();
        power.map_or(1.0, |i| (self.off.by.get(i).copied().unwrap_or(0.0)).exp())
    }

    /// Makes up its mind about the kiln and its faults.
    fn judge(&mut self) {
        self.faults = Sign::ALL.map(|s| self.evidence.likeliest(s)).into();
        let on = |kind: AlarmKind| self.bell.is_on(kind);
        let weak = on(AlarmKind::ElementOut) || on(AlarmKind::MainsLow);
        let sign = if weak {
            Some(Sign::Weak)
        } else if on(AlarmKind::LidOpen) {
            Some(Sign::Leak)
        } else if on(AlarmKind::StuckOn) {
            Some(Sign::Stuck)
        } else {
            None
        };
        let fault = self.faults.iter().flatten().find(|f| Some(f.sign) == sign);
        self.off = self.evidence.off(fault);
        self.lost = match fault {
            Some(f) if f.sign == Sign::Weak => f.size.clamp(0.0, 0.9),
            _ => 0.0,
        };
    }

    fn reached(&self, over: Vec<usize>, to_s: f64) -> Vec<Event> {
        let at = self.at(to_s);
        over.into_iter()
            .map(|segment| Event::Reached { segment, at })
            .collect()
    }

    fn ring(&mut self, batch: &Batch) -> Vec<Event> {
        self.look_near();
        let view = View {
            now_s: batch.to_s,
            batch,
            plan: &self.ask.plan,
            input: &self.ask.kiln,
            past: &self.past,
            faults: &self.faults,
            near: self.near,
            known: self.kilns.belief().known(),
            first_k: self.first_k.unwrap_or(self.ask.kiln.room.to_k()),
            so_far: &|| so_far(&self.kilns),
        };
        let rings = self.bell.look(&view);
        let began = self.bell.alarms(|s| self.at(s));
        let began = began
            .into_iter()
            .filter(|a| rings.began.contains(&a.kind))
            .map(Event::Began);
        began
            .chain(rings.ended.iter().copied().map(Event::Ended))
            .collect()
    }
}

/// Heat-work so far, in words.
fn so_far(kilns: &Kilns) -> String {
    let cones = kilns.middle().cones();
    let middle = kilns.middle().model().reference_zone();
    cones.of(middle).map_or_else(String::new, |w| {
        format!("Heat-work so far, in the middle: cone {}.", w.reached())
    })
}
