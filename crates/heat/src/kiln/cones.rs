//! What the witness cones of a kiln have received so far.

use glost_model::{Span, Temperature};

use super::build::KilnModel;
use crate::heatwork::HeatWork;

/// Below this no cone receives heat-work worth counting, K.
const COUNTS_K: f64 = 750.0;
/// Cones bend no further when the kiln has fallen by this, K: its rate is then below a hundredth.
pub const SET_K: f64 = 150.0;

/// One cone for each zone, from the floor up.
#[derive(Debug, Clone)]
pub struct Cones {
    work: Vec<HeatWork>,
    /// Hottest that each was, K.
    peaks: Vec<f64>,
    /// When they were last looked at, s, and how hot they were, K.
    last: Option<(f64, Vec<f64>)>,
}

impl Cones {
    /// Fresh ones.
    pub fn new(zones: usize) -> Self {
        Self {
            work: vec![HeatWork::new(); zones],
            peaks: vec![0.0; zones],
            last: None,
        }
    }

    /// Looks at a kiln; false when a step could not be counted.
    pub fn look(&mut self, model: &KilnModel, time_s: f64, y: &[f64]) -> bool {
        let of = |z: &super::build::Zone| model.net.temp_k(z.witness, 0.0, y);
        let now: Vec<f64> = model.zones.iter().map(of).collect();
        for (peak, cone) in self.peaks.iter_mut().zip(&now) {
            *peak = peak.max(*cone);
        }
        let mut all = true;
        if let Some((before_s, before)) = &self.last {
            let cones = before.iter().zip(&now).zip(&self.peaks);
            for (work, ((a, b), peak)) in self.work.iter_mut().zip(cones) {
                if a.max(*b) > COUNTS_K.max(peak - SET_K) {
                    let (a, b) = (Temperature::k(*a), Temperature::k(*b));
                    // Finite and in order: the integrator's times rise.
                    all &= work.push(Span::s(time_s - before_s), a, b).is_ok();
                }
            }
        }
        self.last = Some((time_s, now));
        all
    }

    /// That of a zone.
    pub fn of(&self, zone: usize) -> Option<&HeatWork> {
        self.work.get(zone)
    }

    /// Cone position of a zone; just under 022 when even that one stands.
    pub fn position(&self, zone: usize) -> f64 {
        self.of(zone).and_then(HeatWork::position).unwrap_or(-22.0)
    }

    /// What cones of a kiln between others have received: `all` with shares that add up to 1.
    pub fn mixed(all: &[(&Self, f64)]) -> Option<Self> {
        let (first, _) = all.first()?;
        let sum = |of: &dyn Fn(&Self) -> f64| all.iter().map(|(c, s)| of(c) * s).sum::<f64>();
        let zone = |z: usize| {
            let these: Vec<(&HeatWork, f64)> = all
                .iter()
                .filter_map(|(c, s)| Some((c.work.get(z)?, *s)))
                .collect();
            HeatWork::mixed(&these)
        };
        let zones = 0..first.work.len();
        Some(Self {
            work: zones.clone().map(zone).collect::<Option<_>>()?,
            peaks: zones
                .map(|z| sum(&|c| c.peaks.get(z).copied().unwrap_or(0.0)))
                .collect(),
            last: None,
        })
    }
}
