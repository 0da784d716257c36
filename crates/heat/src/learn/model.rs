//! The model's answer for a kiln that was moved along the priors, and its slopes.

use glost_model::firing::FiringPlan;
use glost_model::tariff::Tariff;

use super::curve::{Curve, NoUse};
use super::feature::Zones;
use super::known::{COUNT, KNOWN, moved};
use crate::kiln::{Extent, KilnInput, KilnModel, simulate};
use crate::spread::in_order;

/// One simulation.
#[derive(Debug, Clone)]
pub(super) struct Run {
    pub curve: Curve,
    pub zones: Zones,
    /// When the hold at the peak is over, s, and energy drawn in all, J.
    pub peak_over_s: Option<f64>,
    pub energy_j: f64,
    /// How far the end of the peak is behind the programme, s; ramps without a rate are not behind.
    pub behind_s: f64,
}

/// How long the programme takes to the end of its peak if the kiln keeps it, from a room at this.
fn programme_s(plan: &FiringPlan, room_k: f64) -> Option<f64> {
    let (mut at_k, mut took_s) = (room_k, 0.0);
    for s in plan.segments.iter().take(plan.peak()? + 1) {
        let to_k = s.target.to_k();
        took_s += s.rate?.to_k_per_s().abs().recip() * (to_k - at_k).abs() + s.hold.to_s();
        at_k = to_k;
    }
    Some(took_s)
}

pub(super) fn run(input: &KilnInput, plan: &FiringPlan, shifts: &[f64]) -> Result<Run, NoUse> {
    let input = moved(input, shifts);
    let model = KilnModel::new(input).map_err(|_none| NoUse::NotSimulated)?;
    let free = Tariff::flat("", 0.0);
    let forecast =
        simulate(&model, plan, &free, Extent::Cooling).map_err(|_none| NoUse::NotSimulated)?;
    let zones = forecast.zones.iter();
    let peak_over_s = forecast.peak_over(plan).map(|s| s.to_s());
    let programme = programme_s(plan, model.input.room.to_k());
    let behind = peak_over_s
        .zip(programme)
        .map(|(over, planned)| over - planned);
    Ok(Run {
        behind_s: behind.unwrap_or(0.0).max(0.0),
        curve: Curve::of_forecast(&forecast, &model.input),
        zones: zones.map(|z| (z.tiers.clone(), z.cone_position)).collect(),
        peak_over_s,
        energy_j: forecast.energy_j.to_j(),
    })
}

/// A step along a prior and the answer there.
type Moved = (f64, Run);

/// Step of a slope, in widths of the prior: wide enough that what the integrator rounds is small beside it.
const STEP: f64 = 0.3;

/// The kiln at `shifts`, and moved a little along each prior. The answer is the same whatever the threads.
pub(super) fn fan(
    input: &KilnInput,
    plan: &FiringPlan,
    shifts: &[f64],
    threads: usize,
) -> Result<Vec<Moved>, NoUse> {
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
    in_order(COUNT + 1, threads, one).into_iter().collect()
}
