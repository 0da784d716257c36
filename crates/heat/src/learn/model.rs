//! The model's answer for a kiln that was moved along the priors, and its slopes.

use glost_model::firing::FiringPlan;
use glost_model::tariff::Tariff;

use super::curve::{Curve, NoUse};
use super::feature::Zones;
use super::known::{COUNT, KNOWN, moved};
use crate::kiln::{Extent, KilnInput, KilnModel, simulate};

/// One simulation.
#[derive(Debug, Clone)]
pub(super) struct Run {
    pub curve: Curve,
    pub zones: Zones,
    /// When the hold at the peak is over, s, and energy drawn in all, J.
    pub peak_over_s: Option<f64>,
    pub energy_j: f64,
}

pub(super) fn run(input: &KilnInput, plan: &FiringPlan, shifts: &[f64]) -> Result<Run, NoUse> {
    let input = moved(input, shifts);
    let model = KilnModel::new(input).map_err(|_none| NoUse::NotSimulated)?;
    let free = Tariff::flat("", 0.0);
    let forecast =
        simulate(&model, plan, &free, Extent::Cooling).map_err(|_none| NoUse::NotSimulated)?;
    let zones = forecast.zones.iter();
    Ok(Run {
        curve: Curve::of_forecast(&forecast, &model.input),
        zones: zones.map(|z| (z.tiers.clone(), z.cone_position)).collect(),
        peak_over_s: forecast.peak_over(plan).map(|s| s.to_s()),
        energy_j: forecast.energy_j.to_j(),
    })
}

/// Step of a slope, in widths of the prior: wide enough that what the integrator rounds is small beside it.
const STEP: f64 = 0.3;

/// The kiln at `shifts`, and moved a little along each prior. The answer is the same whatever the threads.
pub(super) fn fan(
    input: &KilnInput,
    plan: &FiringPlan,
    shifts: &[f64],
    threads: usize,
) -> Result<Vec<(f64, Run)>, NoUse> {
    let one = |i: usize| {
        let mut at = shifts.to_vec();
        let mut by = 0.0;
        if let (Some(x), Some(k)) = (
            i.checked_sub(1).and_then(|i| at.get_mut(i)),
            KNOWN.get(i.wrapping_sub(1)),
        ) {
            // Toward the middle, where the model is sure to work.
            by = if *x > 0.0 { -STEP } else { STEP } * k.prior.width;
            *x += by;
        }
        run(input, plan, &at).map(|r| (by, r))
    };
    let threads = threads.clamp(1, COUNT + 1);
    let mut found: Vec<(usize, Result<(f64, Run), NoUse>)> = std::thread::scope(|scope| {
        let share = |first: usize| {
            let mine = (first..=COUNT).step_by(threads);
            mine.map(|i| (i, one(i))).collect::<Vec<_>>()
        };
        let others: Vec<_> = (1..threads)
            .map(|t| scope.spawn(move || share(t)))
            .collect();
        let mut all = share(0);
        for other in others {
            all.extend(
                other
                    .join()
                    .unwrap_or_else(|panic| std::panic::resume_unwind(panic)),
            );
        }
        all
    });
    found.sort_by_key(|(i, _)| *i);
    found.into_iter().map(|(_, r)| r).collect()
}
