//! A forecast by what was learnt, with how sure it is.

use faer::Mat;
use glost_model::firing::FiringPlan;

use super::curve::NoUse;
use super::known::COUNT;
use super::learnt::Learnt;
use super::model::{Run, fan};
use super::take::square;
use crate::kiln::KilnInput;

/// A figure with its doubt.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Told {
    /// What is foretold.
    pub value: f64,
    /// Standard deviation by what is not known of the kiln.
    pub by_kiln: f64,
    /// Standard deviation of all.
    pub deviation: f64,
}

/// Nine in ten less one in ten of the normal law, from its middle, in deviations (tables).
const TENTH: f64 = 1.281_551_6;

impl Told {
    /// From a tenth to nine tenths.
    pub fn band(&self) -> (f64, f64) {
        (
            self.value - TENTH * self.deviation,
            self.value + TENTH * self.deviation,
        )
    }

    fn of(value: f64, by_kiln: f64, scatter: f64) -> Self {
        Self {
            value,
            by_kiln,
            deviation: by_kiln.hypot(scatter),
        }
    }
}

/// What a firing is foretold to be.
#[derive(Debug, Clone, PartialEq)]
pub struct Ahead {
    /// End of the hold at the peak since the start, s; nothing when the kiln stalls.
    pub peak: Option<Told>,
    /// Energy drawn, J.
    pub energy: Told,
    /// Place on the ladder, zone by zone from the floor up.
    pub cones: Vec<(String, Told)>,
}

/// Foretells a firing by what was learnt of the kiln: where it is, and how far that may be off to the first order. For
/// bands of everything else draw kilns by [`Learnt::belief_for`].
///
/// # Errors
/// [`NoUse::NotSimulated`].
pub fn foretell(
    learnt: &Learnt,
    kiln: &KilnInput,
    plan: &FiringPlan,
    threads: usize,
) -> Result<Ahead, NoUse> {
    let runs = fan(kiln, plan, &learnt.mean_for(kiln), threads)?;
    Ok(ahead(&runs, &square(&learnt.ahead()), learnt))
}

pub(super) fn ahead(runs: &[(f64, Run)], covariance: &Mat<f64>, learnt: &Learnt) -> Ahead {
    let scatter = &learnt.scatter;
    let by_kiln = |of: &dyn Fn(&Run) -> Option<f64>| {
        let here = runs.first().and_then(|(_, r)| of(r));
        let slopes: Vec<f64> = (0..COUNT)
            .map(|k| {
                let there = runs.get(k + 1).and_then(|(by, r)| Some((*by, of(r)?)));
                match (here, there) {
                    (Some(a), Some((by, b))) => (b - a) / by,
                    _ => 0.0,
                }
            })
            .collect();
        let variance: f64 = (0..COUNT)
            .map(|i| {
                (0..COUNT)
                    .map(|k| slopes[i] * covariance[(i, k)] * slopes[k])
                    .sum::<f64>()
            })
            .sum();
        (here, variance.max(0.0).sqrt())
    };
    let (peak, peak_by) = by_kiln(&|r| r.peak_over_s);
    let (energy, energy_by) = by_kiln(&|r| Some(r.energy_j));
    let energy = energy.unwrap_or(f64::NAN);
    let names = runs
        .first()
        .map(|(_, r)| r.zones.as_slice())
        .unwrap_or_default();
    let cones = names.iter().enumerate().map(|(i, (name, _))| {
        let (value, by) = by_kiln(&|r| r.zones.get(i).map(|z| z.1));
        let told = Told::of(value.unwrap_or(f64::NAN), by, scatter.cone.0);
        (name.clone(), told)
    });
    Ahead {
        peak: peak.map(|p| {
            let (late, doubt) = learnt.late;
            let scatter = (p * scatter.peak.0).hypot(doubt.to_s());
            Told::of(p + late.to_s(), peak_by, scatter)
        }),
        energy: Told::of(energy, energy_by, energy * scatter.energy.0),
        cones: cones.collect(),
    }
}
