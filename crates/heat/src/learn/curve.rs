//! A log or a forecast as a curve that can be asked when it passed a temperature.

use glost_model::Span;
use glost_model::forecast::Forecast;
use glost_model::readings::Sample;
use jiff::Timestamp;

use crate::kiln::KilnInput;

/// One instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Point {
    pub time_s: f64,
    pub sensor_c: f64,
    /// Energy drawn, J, since any moment.
    pub drawn_j: Option<f64>,
    /// Time at full power that was asked for since the start, s.
    pub asked_s: Option<f64>,
}

/// The curve in order of time.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Curve {
    pub points: Vec<Point>,
    /// Stretches that tell nothing, s.
    bad: Vec<(f64, f64)>,
}

/// A log of no use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NoUse {
    /// Too few readings.
    #[error("the log has fewer than {LEAST_POINTS} readings of the sensor that can be")]
    Few,
    /// It never got warm.
    #[error("the log never gets above 300 °C")]
    Cold,
    /// Nothing but stretches that were marked, or gaps.
    #[error("every stretch of the log is marked as bad or has gaps")]
    Gaps,
    /// The kiln or its firing plan cannot be simulated.
    #[error("the kiln with this load and firing plan cannot be simulated")]
    NotSimulated,
}

const LEAST_POINTS: usize = 20;
/// A log that never gets hotter is of no firing, °C.
const LEAST_C: f64 = 300.0;
/// Readings outside are of a broken sensor, °C.
const CAN_BE_C: std::ops::RangeInclusive<f64> = -50.0..=1800.0;
/// Longer without a reading is a gap, s, unless the whole log is as sparse.
const GAP_S: f64 = 900.0;
/// A reading this far from both neighbours, which agree, is a spike, K.
const SPIKE_K: f64 = 40.0;
/// Times further from the first reading cannot be of the same firing, s.
const MOST_S: f64 = 10.0 * 24.0 * 3600.0;

impl Curve {
    /// Of a log, with the stretches that somebody marked.
    pub fn of_log(log: &[Sample], marked: &[(Timestamp, Timestamp)]) -> Result<Self, NoUse> {
        let first = log.iter().map(|s| s.at).min().ok_or(NoUse::Few)?;
        let since = |t: Timestamp| t.duration_since(first).as_secs_f64();
        let mut points: Vec<Point> = Vec::new();
        for s in log {
            let time_s = since(s.at);
            let Some(sensor_c) = s.sensor.map(|t| t.to_c()).filter(|t| CAN_BE_C.contains(t)) else {
                continue;
            };
            if time_s <= MOST_S {
                points.push(Point {
                    time_s,
                    sensor_c,
                    drawn_j: s.meter.map(|m| m.to_j()).filter(|m| m.is_finite()),
                    asked_s: s.duty.filter(|d| (0.0..=1.0).contains(d)),
                });
            }
        }
        points.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
        points.dedup_by(|b, a| b.time_s - a.time_s < 0.5);
        let bad: Vec<(f64, f64)> = marked
            .iter()
            .map(|(a, b)| (since(*a.min(b)), since(*a.max(b))))
            .collect();
        let read = points.len();
        // A false reading is the hottest of a log as easily as a true one.
        points.retain(|p| !bad.iter().any(|(a, b)| (*a..=*b).contains(&p.time_s)));
        let left_out = read - points.len();
        let points = without_spikes(points);
        if points.len() < LEAST_POINTS {
            return Err(if left_out > 0 {
                NoUse::Gaps
            } else {
                NoUse::Few
            });
        }
        let mut curve = Self { points, bad };
        if curve.top_c() < LEAST_C {
            return Err(NoUse::Cold);
        }
        curve.gaps();
        curve.add_up();
        Ok(curve)
    }

    /// Of a forecast.
    pub fn of_forecast(forecast: &Forecast, input: &KilnInput) -> Self {
        let new: f64 = input.bands.iter().map(|b| b.power.to_w()).sum();
        let full_w = new * input.tuning.power * input.mains * input.mains / input.ageing;
        let points = forecast.samples.iter().map(|s| Point {
            time_s: s.time_s.to_s(),
            sensor_c: s.sensor_c.to_c(),
            drawn_j: Some(s.energy_j.to_j()),
            asked_s: Some(s.energy_j.to_j() / full_w),
        });
        Self {
            points: points.collect(),
            bad: Vec::new(),
        }
    }

    /// Marks gaps as bad.
    fn gaps(&mut self) {
        let pairs = || self.points.windows(2).map(|w| (w[0].time_s, w[1].time_s));
        let mut steps: Vec<f64> = pairs().map(|(a, b)| b - a).collect();
        steps.sort_by(f64::total_cmp);
        let usual = steps.get(steps.len() / 2).copied().unwrap_or(0.0);
        let most = GAP_S.max(3.0 * usual);
        let gaps: Vec<_> = pairs().filter(|(a, b)| b - a > most).collect();
        self.bad.extend(gaps);
    }

    /// Makes a duty since the sample before a sum; a meter that runs backwards is not looked at.
    fn add_up(&mut self) {
        let (mut sum, mut before) = (0.0, None);
        let backwards = {
            let all: Vec<f64> = self.points.iter().filter_map(|p| p.drawn_j).collect();
            all.windows(2).any(|w| w[1] < w[0])
        };
        for p in &mut self.points {
            if backwards {
                p.drawn_j = None;
            }
            let step = before.map_or(0.0, |b| p.time_s - b);
            before = Some(p.time_s);
            p.asked_s = p.asked_s.map(|duty| {
                sum += duty * step;
                sum
            });
        }
    }

    pub fn top_c(&self) -> f64 {
        let all = self.points.iter().map(|p| p.sensor_c);
        all.fold(f64::NEG_INFINITY, f64::max)
    }

    /// It begins with a cold kiln.
    pub fn begins_cold(&self) -> bool {
        self.points.first().is_some_and(|p| p.sensor_c < 60.0)
    }

    pub fn first(&self) -> Option<Point> {
        self.points.first().copied()
    }

    pub fn last(&self) -> Option<Point> {
        self.points.last().copied()
    }

    /// No gap and no marked stretch lies between.
    pub fn clean(&self, from_s: f64, to_s: f64) -> bool {
        self.bad.iter().all(|(a, b)| *b <= from_s || *a >= to_s)
    }

    /// First time that it is up to a temperature.
    pub fn up(&self, level_c: f64) -> Option<Point> {
        let at = self.points.iter().position(|p| p.sensor_c >= level_c)?;
        self.between(at.checked_sub(1)?, at, level_c)
    }

    /// Last time that it is at a temperature or above.
    pub fn down(&self, level_c: f64) -> Option<Point> {
        let at = self.points.iter().rposition(|p| p.sensor_c >= level_c)?;
        self.between(at, at + 1, level_c)
    }

    fn between(&self, from: usize, to: usize, level_c: f64) -> Option<Point> {
        let (a, b) = (self.points.get(from)?, self.points.get(to)?);
        let whole = b.sensor_c - a.sensor_c;
        let share = if whole.abs() < 1e-9 {
            1.0
        } else {
            ((level_c - a.sensor_c) / whole).clamp(0.0, 1.0)
        };
        let mix = |x: f64, y: f64| x + (y - x) * share;
        let both = |x: Option<f64>, y: Option<f64>| Some(mix(x?, y?));
        Some(Point {
            time_s: mix(a.time_s, b.time_s),
            sensor_c: level_c,
            drawn_j: both(a.drawn_j, b.drawn_j),
            asked_s: both(a.asked_s, b.asked_s),
        })
    }

    /// How long it stays within so much of its top, from the first time to the last.
    pub fn dwells(&self, within_k: f64) -> Option<Span> {
        let level = self.top_c() - within_k;
        let (up, down) = (self.up(level)?, self.down(level)?);
        let took = down.time_s - up.time_s;
        self.clean(up.time_s, down.time_s)
            .then(|| Span::s(took.max(0.0)))
    }
}

fn without_spikes(points: Vec<Point>) -> Vec<Point> {
    let spike = |i: usize| {
        let at = |k: Option<usize>| k.and_then(|k| points.get(k)).map(|p| p.sensor_c);
        match (at(i.checked_sub(1)), at(Some(i)), at(Some(i + 1))) {
            (Some(a), Some(x), Some(b)) => {
                (x - a).abs().min((x - b).abs()) > SPIKE_K && (a - b).abs() < SPIKE_K / 2.0
            }
            _ => false,
        }
    };
    let keep: Vec<bool> = (0..points.len()).map(|i| !spike(i)).collect();
    let kept = points.iter().zip(keep).filter(|(_, k)| *k);
    kept.map(|(p, _)| *p).collect()
}
