//! What was learnt of a kiln, kept from firing to firing.

use glost_model::shown::Shown;
use glost_model::{Energy, Span};
use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use super::known::{COUNT, KNOWN, POWER, words};
use super::late::Late;
use super::taught::aged;
use crate::doubt::{Belief, Prior};
use crate::kiln::KilnInput;

/// Another number, and what was kept is worked out anew from the logs.
pub const VERSION: u32 = 1;
/// Firings that the error is told of.
pub const LAST: usize = 6;

/// What was learnt.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Learnt {
    /// See [`VERSION`].
    pub version: u32,
    /// Every firing that was looked at, in order of time.
    pub firings: Vec<Looked>,
    /// Ids of what is fitted, as in [`crate::doubt::PRIORS`].
    pub ids: Vec<String>,
    /// Where the kiln is along each after the last firing, in the prior's unit.
    pub mean: Vec<f64>,
    /// How sure that is, and what goes with what.
    pub covariance: Vec<Vec<f64>>,
    /// Ageing that the kiln was said to have at the last firing: what was learnt of its power is over and above it.
    pub ageing: f64,
    /// How the controller arrives.
    pub late: Late,
    /// How far forecasts are off beside all that.
    pub scatter: Scatter,
    /// What the last firing said that was not believed.
    pub(super) doubted: Option<Vec<f64>>,
}

/// One firing that was looked at.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Looked {
    /// Its id.
    pub id: String,
    /// When it began.
    pub at: Timestamp,
    /// Why it was not used; nothing when it was.
    pub refused: Option<String>,
    /// How far off the forecast was that was made of it from the firings before it.
    pub missed: Option<Missed>,
    /// Power of the elements in this firing over the nameplate's at new elements, ln, and its deviation.
    pub power: Option<(f64, f64)>,
    /// The kiln had changed since the firing before this and the one before that: what was known until then counts no
    /// more.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub changed: bool,
}

/// How far off a forecast was: what happened less what was foretold.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Missed {
    /// Cones, tier by tier, where a witness cone tells.
    pub cones: Vec<(String, f64)>,
    /// The end of the peak, s.
    pub peak_s: Option<Span>,
    /// Energy, J, and as a share of what was foretold.
    pub energy_j: Option<(Energy, f64)>,
}

/// Deviations of forecasts beside those of what is fitted, each with how many firings it is worth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Scatter {
    /// In cones.
    pub cone: (f64, f64),
    /// As a share of the time to the end of the peak.
    pub peak: (f64, f64),
    /// As a share of the energy.
    pub energy: (f64, f64),
}

impl Scatter {
    /// Before anything is seen. Proposed, from the model's misses on kilns unlike it.
    pub const FIRST: Self = Self {
        cone: (0.15, 3.0),
        peak: (0.006, 2.0),
        energy: (0.015, 2.0),
    };

    pub(super) fn see(of: &mut (f64, f64), squares: &[f64]) {
        // A firing counts for one however many tiers it has; old ones fade.
        if squares.is_empty() {
            return;
        }
        let mean = squares.iter().sum::<f64>() / squares.len() as f64;
        let weight = of.1.min(12.0);
        of.0 = ((of.0 * of.0 * weight + mean) / (weight + 1.0)).sqrt();
        of.1 = weight + 1.0;
    }
}

/// How good forecasts were of firings that were not yet learnt from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Foretold {
    /// Over so many firings.
    pub firings: usize,
    /// Root of the mean square over tiers, in cones.
    pub cone: Option<f64>,
    /// Of the end of the peak.
    pub peak_s: Option<Span>,
    /// As a share of the energy.
    pub energy: Option<f64>,
}

/// One thing that is fitted, for reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Parameter {
    /// Id of its prior.
    pub id: &'static str,
    /// Where it is, in the prior's unit, and how sure that is.
    pub value: f64,
    /// Standard deviation.
    pub deviation: f64,
    /// The deviation before any firing.
    pub before: f64,
    /// In words.
    pub words: String,
}

impl Default for Learnt {
    fn default() -> Self {
        Self::nothing()
    }
}

impl Learnt {
    /// The priors, as they are before any firing.
    pub fn nothing() -> Self {
        let row = |i: usize| {
            let mut row = vec![0.0; COUNT];
            row[i] = KNOWN[i].prior.width.powi(2);
            row
        };
        Self {
            version: VERSION,
            firings: Vec::new(),
            ids: KNOWN.iter().map(|k| k.prior.id.to_owned()).collect(),
            mean: vec![0.0; COUNT],
            covariance: (0..COUNT).map(row).collect(),
            ageing: 1.0,
            late: Late::UNKNOWN,
            scatter: Scatter::FIRST,
            doubted: None,
        }
    }

    /// It is of this version and its numbers can be; what was kept in another way is worked out anew.
    pub fn can_be_used(&self) -> bool {
        let ids = KNOWN.iter().map(|k| k.prior.id);
        self.version == VERSION
            && ids.eq(self.ids.iter().map(String::as_str))
            && self.belief().is_some()
    }

    /// How many firings were used.
    pub fn used(&self) -> usize {
        self.firings.iter().filter(|f| f.refused.is_none()).count()
    }

    /// Moves a kiln to where it was found to be.
    pub fn apply(&self, kiln: &mut KilnInput) {
        for (known, by) in KNOWN.iter().zip(self.mean_for(kiln)) {
            known.prior.move_kiln(kiln, by);
        }
    }

    /// The mean for a kiln whose elements somebody may have read since.
    pub(super) fn mean_for(&self, kiln: &KilnInput) -> Vec<f64> {
        let mut mean = self.mean.clone();
        if let Some(power) = mean.get_mut(POWER).filter(|_| self.used() > 0) {
            *power += aged(self.ageing, kiln.ageing);
        }
        mean
    }

    /// The next firing of this kiln as draws know it: what was learnt, how it may have changed since, and what is only
    /// of one day. Nothing when what was kept cannot be.
    pub fn belief_for(&self, kiln: &KilnInput) -> Option<Belief> {
        let priors: Vec<Prior> = KNOWN.iter().map(|k| k.prior).collect();
        Belief::new(&priors, &self.mean_for(kiln), &self.ahead())
    }

    fn belief(&self) -> Option<Belief> {
        let priors: Vec<Prior> = KNOWN.iter().map(|k| k.prior).collect();
        Belief::new(&priors, &self.mean, &self.covariance)
    }

    /// Covariance of the kiln in its next firing.
    pub(super) fn ahead(&self) -> Vec<Vec<f64>> {
        let mut next = self.covariance.clone();
        for (i, (known, row)) in KNOWN.iter().zip(&mut next).enumerate() {
            if let Some(v) = row.get_mut(i) {
                let walks = if self.used() > 0 { known.walks } else { 0.0 };
                *v += walks * walks + known.today * known.today;
            }
        }
        next
    }

    /// Everything that is fitted, in words.
    pub fn parameters(&self, shown: Shown) -> Vec<Parameter> {
        let all = KNOWN.iter().zip(&self.mean).enumerate();
        all.map(|(i, (known, value))| {
            let variance = self.covariance.get(i).and_then(|r| r.get(i));
            let deviation = variance.map_or(known.prior.width, |v| v.max(0.0).sqrt());
            Parameter {
                id: known.prior.id,
                value: *value,
                deviation,
                before: known.prior.width,
                words: words(known.prior.id, *value, deviation, shown),
            }
        })
        .collect()
    }

    /// How good forecasts were of the last firings, each made before it was learnt from. The first firing is left out:
    /// nothing was known then.
    pub fn foretold(&self) -> Option<Foretold> {
        let used = self.firings.iter().filter(|f| f.refused.is_none());
        let all: Vec<&Missed> = used.skip(1).filter_map(|f| f.missed.as_ref()).collect();
        let last = all.get(all.len().saturating_sub(LAST)..)?;
        Foretold::of(last)
    }
}

impl Foretold {
    /// Over all of these; nothing over none.
    pub(super) fn of(all: &[&Missed]) -> Option<Self> {
        let root = |values: Vec<f64>| {
            let count = values.len() as f64;
            let sum: f64 = values.iter().map(|v| v * v).sum();
            (count > 0.0).then(|| (sum / count).sqrt())
        };
        let cones = all.iter().flat_map(|m| m.cones.iter().map(|c| c.1));
        let peaks = all.iter().filter_map(|m| m.peak_s.map(Span::to_s));
        let energies = all.iter().filter_map(|m| m.energy_j.map(|e| e.1));
        (!all.is_empty()).then(|| Self {
            firings: all.len(),
            cone: root(cones.collect()),
            peak_s: root(peaks.collect()).map(Span::s),
            energy: root(energies.collect()),
        })
    }

    /// As `foretold within 0.2 cone and 14 min over the last 6 firings`.
    pub fn words(&self) -> String {
        let Some(within) = self.within() else {
            return "nothing of it could be held against what happened".into();
        };
        match self.firings {
            1 => format!("foretold within {within} in the last firing"),
            n => format!("foretold within {within} over the last {n} firings"),
        }
    }

    /// As `0.2 cone and 14 min`; nothing when nothing could be held against what happened.
    pub fn within(&self) -> Option<String> {
        let mut parts = Vec::new();
        parts.extend(self.cone.map(|c| format!("{c:.1} cone")));
        parts.extend(
            self.peak_s
                .map(|p| format!("{:.0} min", p.to_minutes().max(1.0))),
        );
        parts.extend(
            self.energy
                .map(|e| format!("{:.0} % of its energy", (e * 100.0).max(1.0))),
        );
        match parts.split_last()? {
            (last, []) => Some(last.clone()),
            (last, before) => Some(format!("{} and {last}", before.join(", "))),
        }
    }
}
