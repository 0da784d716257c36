//! What the ware stands on its way up and down: for each stretch of temperature the fastest rate, with
//! what sets it. A plan keeps them all, and a simulated firing is held against them.

mod known;
mod pace;
mod strain;

use glost_model::forecast::Sample;
use glost_model::load::FiringKind;
use glost_model::shown::Shown;
use glost_model::{Rate, Span, Temperature};

use super::facts::Facts;
pub use known::{KnownRate, OneWall, Passing, WALLS_MM, known_rates};
pub use pace::hold_past_quartz;
pub(crate) use strain::cooling_limits;

/// Whose temperature a limit is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// The sensor's: rates that the trade sets on controllers.
    Sensor,
    /// The ware's own, wherever it stands.
    Ware,
}

/// The fastest that ware may change its temperature over a stretch.
#[derive(Debug, Clone, PartialEq)]
pub struct Cap {
    /// Which limit.
    pub id: &'static str,
    /// From here, °C.
    pub from: Temperature,
    /// To here; below `from` for a limit on cooling, °C.
    pub to: Temperature,
    /// At most so fast; its sign is that of the change.
    pub rate: Rate,
    /// Whose temperature it is about.
    pub of: Of,
    /// What sets it, for the person who fires.
    pub why: String,
}

impl Cap {
    /// Limits the way down.
    pub fn cooling(&self) -> bool {
        self.to < self.from
    }

    fn lower(&self) -> Temperature {
        self.from.min(self.to)
    }

    fn upper(&self) -> Temperature {
        self.from.max(self.to)
    }

    /// The size of the rate, °C/h.
    pub fn c_per_h(&self) -> f64 {
        self.rate.to_c_per_h().abs()
    }
}

/// All limits of a load, whose last stretch begins at `last_from`.
pub fn caps(facts: &Facts, last_from: Temperature) -> Vec<Cap> {
    let mut all = match facts.kind {
        FiringKind::Bisque => pace::bisque(facts, last_from),
        FiringKind::Glaze => pace::glaze(facts, last_from),
    };
    all.extend(strain::caps(facts));
    all
}

/// A limit that a firing breaks.
#[derive(Debug, Clone, PartialEq)]
pub struct Broken {
    /// The limit.
    pub cap: Cap,
    /// Fastest that ware was over its stretch; of the sign of the change.
    pub rate: Rate,
    /// When, since the start.
    pub at: Span,
}

impl Broken {
    /// In words.
    pub fn words(&self, shown: Shown) -> String {
        let who = match self.cap.of {
            Of::Sensor => "The kiln",
            Of::Ware => "Ware",
        };
        format!(
            "{who} goes at {} between {} and {}, {} is the most. {}",
            shown.rate(self.rate),
            shown.temperature(self.cap.from),
            shown.temperature(self.cap.to),
            shown.rate(self.cap.rate),
            self.cap.why
        )
    }
}

/// Rates are told apart from their limit only beyond this share and this much, °C/h: controllers swing.
const SHARE: f64 = 1.1;
const SWING_C_PER_H: f64 = 5.0;
/// Rates are taken over at least this long.
const OVER: Span = Span::minutes(14.0);

/// The limits that a forecast breaks, each where it is broken most.
pub fn broken(caps: &[Cap], samples: &[Sample]) -> Vec<Broken> {
    let over = |cap: &Cap| {
        let fastest = tracks(cap.of, samples)
            .iter()
            .flat_map(|track| passes(track, cap))
            .filter_map(|pass| fastest(&pass, cap))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let (c_per_h, at) = fastest?;
        let beyond = c_per_h > cap.c_per_h() * SHARE && c_per_h > cap.c_per_h() + SWING_C_PER_H;
        beyond.then(|| Broken {
            cap: cap.clone(),
            rate: Rate::c_per_h(if cap.cooling() { -c_per_h } else { c_per_h }),
            at,
        })
    };
    caps.iter().filter_map(over).collect()
}

/// A time and how hot it was then.
type Point = (Span, Temperature);

/// The sensor, or the ware of each zone.
fn tracks(of: Of, samples: &[Sample]) -> Vec<Vec<Point>> {
    match of {
        Of::Sensor => vec![samples.iter().map(|s| (s.time_s, s.sensor_c)).collect()],
        Of::Ware => {
            let zones = samples.first().map_or(0, |s| s.ware_c.len());
            let zone = |z: usize| {
                let at = |s: &Sample| Some((s.time_s, *s.ware_c.get(z)?));
                samples.iter().filter_map(at).collect()
            };
            (0..zones).map(zone).collect()
        }
    }
}

/// The parts of a track that lie in the stretch of a limit, cut at its ends.
fn passes(track: &[Point], cap: &Cap) -> Vec<Vec<Point>> {
    let (low, high) = (cap.lower(), cap.upper());
    let mut all: Vec<Vec<Point>> = Vec::new();
    let mut inside = false;
    for (a, b) in track.iter().zip(track.iter().skip(1)) {
        let rise = (b.1 - a.1).to_k();
        let when = |t: Temperature| {
            if rise == 0.0 {
                0.0
            } else {
                (t - a.1).to_k() / rise
            }
        };
        let (from, to) = if rise == 0.0 {
            if a.1 < low || a.1 > high {
                (1.0, 0.0)
            } else {
                (0.0, 1.0)
            }
        } else {
            let (x, y) = (when(low), when(high));
            (x.min(y).max(0.0), x.max(y).min(1.0))
        };
        if from >= to {
            inside = false;
            continue;
        }
        let point = |share: f64| {
            let temp = Temperature::k(a.1.to_k() + rise * share);
            (a.0 + (b.0 - a.0) * share, temp)
        };
        if !inside || from > 0.0 {
            all.push(vec![point(from)]);
        }
        if let Some(pass) = all.last_mut() {
            pass.push(point(to));
        }
        inside = to >= 1.0;
    }
    all
}

/// The fastest of a pass, °C/h toward the end of the stretch, and the middle of when. Taken over a while, or over all of a
/// pass that is over sooner and led through more than half of the stretch.
fn fastest(pass: &[Point], cap: &Cap) -> Option<(f64, Span)> {
    let sign = if cap.cooling() { -1.0 } else { 1.0 };
    let rate = |a: &Point, b: &Point| sign * (b.1 - a.1).to_k() / (b.0 - a.0).to_h();
    let (begin, end) = (pass.first()?, pass.last()?);
    if end.0 - begin.0 < OVER {
        let most = (end.1 - begin.1).to_k().abs() > 0.5 * (cap.upper() - cap.lower()).to_k();
        return most.then(|| (rate(begin, end), begin.0 + (end.0 - begin.0) / 2.0));
    }
    let mut worst: Option<(f64, Span)> = None;
    let mut first = 0;
    for b in pass {
        while pass.get(first + 1).is_some_and(|n| b.0 - n.0 >= OVER) {
            first += 1;
        }
        let Some(a) = pass.get(first).filter(|a| b.0 - a.0 >= OVER) else {
            continue;
        };
        let now = rate(a, b);
        if worst.is_none_or(|(w, _)| now > w) {
            worst = Some((now, a.0 + (b.0 - a.0) / 2.0));
        }
    }
    worst
}

#[cfg(test)]
mod tests;
