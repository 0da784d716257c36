//! Samples as they come, sorted out and gathered into stretches of a few minutes.

use std::collections::VecDeque;

use glost_model::readings::Sample;
use jiff::Timestamp;

/// Samples are gathered over this long, s: a kiln changes little meanwhile, and noise averages out.
pub const STRETCH_S: f64 = 300.0;
/// Readings outside these are no temperatures of a kiln, K. Common practice of controllers, no source.
const LEAST_K: f64 = 233.15;
const MOST_K: f64 = 1723.15;
/// How many readings tell how rough they are.
const ROUGH: usize = 12;
/// Readings further apart than this do not tell it, s.
const ROUGH_S: f64 = 400.0;
/// A step between readings further apart is no jump, s.
const JUMP_S: f64 = 90.0;
/// A reading further off the line of its stretch than this, and than four times the others, is left out, K.
const STRAY_K: f64 = 6.0;

/// A temperature that a kiln may have, K.
pub fn may_be(k: f64) -> bool {
    (LEAST_K..=MOST_K).contains(&k)
}

/// A few minutes of a log.
#[derive(Debug, Clone, PartialEq)]
pub struct Batch {
    /// Since the start, s.
    pub to_s: f64,
    /// What the sensor showed at the end, K; nothing when it told nothing that can be.
    pub reading_k: Option<f64>,
    /// Set point at the end, K.
    pub set_k: Option<f64>,
    /// Mean duty.
    pub duty: Option<f64>,
    /// Mean power by the meter, W.
    pub metered_w: Option<f64>,
    /// Standard deviation of the readings about a smooth curve, K, of late.
    pub rough_k: Option<f64>,
    /// Largest step from one reading to the next, K.
    pub jump_k: f64,
    /// The sensor shows the same to the last digit since then, s, and so often.
    pub same: (f64, usize),
    /// What is no temperature of a kiln was read so often in this stretch, or nothing where something was read before.
    pub bad: usize,
}

/// Samples on their way.
#[derive(Debug, Clone, Default)]
pub struct Intake {
    last_s: Option<f64>,
    from_s: f64,
    readings: Vec<(f64, f64)>,
    set_k: Option<f64>,
    duty: Vec<(f64, f64)>,
    meter: Option<(f64, f64)>,
    meter_end: Option<(f64, f64)>,
    bad: usize,
    reads: bool,
    recent: VecDeque<(f64, f64)>,
    jump_k: f64,
    same: Option<(f64, f64, usize)>,
}

impl Intake {
    /// Takes a sample; gives a stretch when one is full. What comes late or twice is left out.
    pub fn take(&mut self, on: Timestamp, sample: &Sample) -> Option<Batch> {
        let at_s = sample.at.duration_since(on).as_secs_f64();
        let before_s = self.last_s.unwrap_or(0.0);
        if at_s < 0.0 || self.last_s.is_some_and(|last| at_s <= last) {
            return None;
        }
        self.last_s = Some(at_s);
        let reading = sample.sensor.map(|t| t.to_k());
        match reading.filter(|k| may_be(*k)) {
            Some(k) => self.read(at_s, k),
            None if reading.is_some() || self.reads => self.bad += 1,
            None => {}
        }
        let finite = |v: &f64| v.is_finite();
        if let Some(k) = sample.set_point.map(|t| t.to_k()).filter(finite) {
            self.set_k = Some(k);
        }
        if let Some(d) = sample.duty.filter(finite) {
            self.duty.push((at_s - before_s, d.clamp(0.0, 1.0)));
        }
        if let Some(j) = sample.meter.map(|e| e.to_j()).filter(finite) {
            // A meter that was changed or has run over starts anew.
            if self.meter.is_none_or(|(_, from)| j < from) {
                self.meter = Some((at_s, j));
            }
            self.meter_end = Some((at_s, j));
        }
        (at_s - self.from_s >= STRETCH_S - 1.0).then(|| self.full(at_s))
    }

    /// Whether the last sample that counts was taken at this time.
    pub fn newest(&self, on: Timestamp, at: Timestamp) -> bool {
        let at_s = at.duration_since(on).as_secs_f64();
        self.last_s.is_some_and(|last| at_s >= last)
    }

    fn read(&mut self, at_s: f64, k: f64) {
        self.reads = true;
        self.readings.push((at_s, k));
        if let Some((before_s, before)) = self.recent.back()
            && at_s - before_s <= JUMP_S
            && (k - before).abs() > self.jump_k.abs()
        {
            self.jump_k = k - before;
        }
        self.recent.push_back((at_s, k));
        if self.recent.len() > ROUGH {
            self.recent.pop_front();
        }
        self.same = match self.same {
            Some((since, shown, times)) if (k - shown).abs() < 1e-6 => {
                Some((since, shown, times + 1))
            }
            _ => Some((at_s, k, 1)),
        };
    }

    fn full(&mut self, at_s: f64) -> Batch {
        let long: f64 = self.duty.iter().map(|(dt, _)| dt).sum();
        let duty = (long > 0.0).then(|| self.duty.iter().map(|(dt, d)| dt * d).sum::<f64>() / long);
        let metered_w = match (self.meter, self.meter_end) {
            (Some((a, from)), Some((b, to))) if b > a => Some((to - from) / (b - a)),
            _ => None,
        };
        let (since, _, times) = self.same.unwrap_or((at_s, 0.0, 0));
        let batch = Batch {
            to_s: at_s,
            reading_k: end_of_line(&self.readings, at_s),
            set_k: self.set_k.take(),
            duty,
            metered_w,
            rough_k: self.rough(),
            jump_k: std::mem::take(&mut self.jump_k),
            same: (since, times),
            bad: self.bad,
        };
        self.from_s = at_s;
        self.readings.clear();
        self.duty.clear();
        self.meter = self.meter_end.take();
        self.bad = 0;
        batch
    }

    /// How far the readings are off the line between their neighbours, by the middle one of them.
    fn rough(&self) -> Option<f64> {
        let recent = &self.recent;
        let triples = (2..recent.len()).filter_map(|i| {
            let (a, b, c) = (recent.get(i - 2)?, recent.get(i - 1)?, recent.get(i)?);
            let between = a.1 + (c.1 - a.1) * (b.0 - a.0) / (c.0 - a.0);
            (c.0 - a.0 <= 2.0 * ROUGH_S).then(|| (b.1 - between).abs())
        });
        let mut off: Vec<f64> = triples.collect();
        if off.len() < 5 {
            return None;
        }
        off.sort_by(f64::total_cmp);
        // Middle of the normal law's size over its deviation, and that of a reading less the mean of two others.
        let middle = off.get(off.len() / 2)?;
        Some(middle * 1.4826 / 1.5f64.sqrt())
    }
}

/// Where the line through readings is at a time, K; strays are left out.
fn end_of_line(readings: &[(f64, f64)], at_s: f64) -> Option<f64> {
    let last = readings.last()?;
    if readings.len() < 4 {
        return Some(last.1);
    }
    let through = |these: &[(f64, f64)]| {
        let n = these.len() as f64;
        let mean = these
            .iter()
            .fold((0.0, 0.0), |m, p| (m.0 + p.0 / n, m.1 + p.1 / n));
        let (mut xy, mut xx) = (0.0, 0.0);
        for (t, k) in these {
            xy += (t - mean.0) * (k - mean.1);
            xx += (t - mean.0).powi(2);
        }
        let slope = if xx > 0.0 { xy / xx } else { 0.0 };
        move |t: f64| mean.1 + slope * (t - mean.0)
    };
    let line = through(readings);
    let mut off: Vec<f64> = readings.iter().map(|(t, k)| (k - line(*t)).abs()).collect();
    off.sort_by(f64::total_cmp);
    let most = (off.get(off.len() / 2)? * 4.0).max(STRAY_K);
    let good: Vec<(f64, f64)> = readings
        .iter()
        .copied()
        .filter(|(t, k)| (k - line(*t)).abs() <= most)
        .collect();
    if good.len() < 3 {
        return Some(last.1);
    }
    Some(through(&good)(at_s))
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::{Span, Temperature};

    fn at(s: i64) -> Timestamp {
        Timestamp::from_second(1_000_000 + s).unwrap()
    }

    fn sample(s: i64, c: f64) -> Sample {
        Sample::of_sensor(at(s), Temperature::c(c))
    }

    #[test]
    fn a_stretch_ends_on_the_line_of_its_readings_without_the_stray() {
        let mut intake = Intake::default();
        let mut found = None;
        for i in 1..=5 {
            let stray = if i == 3 { 40.0 } else { 0.0 };
            found = intake.take(at(0), &sample(60 * i, 100.0 + 2.0 * i as f64 + stray));
        }
        let end = found.unwrap().reading_k.unwrap();
        assert!((end - 273.15 - 110.0).abs() < 9.0, "{end}");
    }

    #[test]
    fn what_comes_twice_late_or_is_no_temperature_is_left_out() {
        let mut intake = Intake::default();
        assert_eq!(intake.take(at(0), &sample(-60, 20.0)), None);
        assert_eq!(intake.take(at(0), &sample(60, 21.0)), None);
        assert_eq!(intake.take(at(0), &sample(60, 900.0)), None);
        assert_eq!(intake.take(at(0), &sample(30, 900.0)), None);
        assert_eq!(intake.take(at(0), &sample(120, f64::NAN)), None);
        assert_eq!(intake.take(at(0), &sample(180, 9999.0)), None);
        let batch = intake.take(at(0), &sample(300, 25.0)).unwrap();
        assert_eq!((batch.to_s, batch.bad), (300.0, 2));
        assert_eq!(batch.reading_k, Some(298.15));
        assert!((Span::s(batch.to_s).to_minutes() - 5.0).abs() < 1e-9);
    }

    #[test]
    fn duty_is_weighed_by_time_and_a_meter_tells_the_mean_power() {
        let mut intake = Intake::default();
        let full = |s: i64, duty: f64, kwh: f64| Sample {
            duty: Some(duty),
            meter: Some(glost_model::Energy::kwh(kwh)),
            ..sample(s, 100.0)
        };
        assert_eq!(intake.take(at(0), &full(60, 1.0, 7.0)), None);
        let batch = intake.take(at(0), &full(300, 0.5, 7.4)).unwrap();
        assert!((batch.duty.unwrap() - 0.6).abs() < 1e-12);
        assert!((batch.metered_w.unwrap() - 6000.0).abs() < 1e-6);
    }
}
