//! What the ware stands on its way up and down: for each stretch of temperature the fastest rate, with
//! what sets it. A plan keeps them all, and a simulated firing is held against them.

mod pace;
mod strain;

use glost_model::forecast::Sample;
use glost_model::load::FiringKind;
use glost_model::shown::Shown;
use glost_model::{Rate, Span, Temperature};

use super::facts::Facts;
pub use pace::hold_past_quartz;

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
    let mut out = Vec::new();
    for cap in caps {
        let sign = if cap.cooling() { -1.0 } else { 1.0 };
        let mut worst: Option<(f64, Span)> = None;
        let tracks = match cap.of {
            Of::Sensor => 1,
            Of::Ware => samples.first().map_or(0, |s| s.ware_c.len()),
        };
        let temp = |s: &Sample, track: usize| match cap.of {
            Of::Sensor => Some(s.sensor_c),
            Of::Ware => s.ware_c.get(track).copied(),
        };
        for track in 0..tracks {
            let mut first = 0;
            for (last, b) in samples.iter().enumerate() {
                while first + 1 < last && b.time_s - samples[first + 1].time_s >= OVER {
                    first += 1;
                }
                let a = &samples[first];
                let (Some(from), Some(to)) = (temp(a, track), temp(b, track)) else {
                    continue;
                };
                let took = b.time_s - a.time_s;
                if took < OVER || !inside(cap, from, to) {
                    continue;
                }
                let rate = sign * (to - from).to_k() / took.to_h();
                if worst.is_none_or(|(w, _)| rate > w) {
                    worst = Some((rate, a.time_s));
                }
            }
        }
        if let Some((c_per_h, at)) = worst
            && c_per_h > cap.c_per_h() * SHARE
            && c_per_h > cap.c_per_h() + SWING_C_PER_H
        {
            out.push(Broken {
                cap: cap.clone(),
                rate: Rate::c_per_h(sign * c_per_h),
                at,
            });
        }
    }
    out
}

/// More than half of what ware passed lies in the stretch, or more than half of the stretch was passed.
fn inside(cap: &Cap, from: Temperature, to: Temperature) -> bool {
    let (low, high) = (from.min(to), from.max(to));
    let common = (high.min(cap.upper()) - low.max(cap.lower())).to_k();
    common > 0.5 * (high - low).to_k() || common > 0.5 * (cap.upper() - cap.lower()).to_k()
}

#[cfg(test)]
mod tests;
