//! How sure a forecast is. The same firing plan is simulated in kilns that differ from this one by what nobody has
//! measured, and the answers are sorted. And how much power is in hand before a programme fails.

mod bands;
mod belief;
pub(crate) mod cube;
mod margin;
mod priors;
#[cfg(test)]
mod tests;

pub(crate) use bands::band;
pub use belief::Belief;
pub use margin::{Strength, margin, strength};
pub use priors::{ENDS, PRIORS, Prior};

use glost_model::cone::Cone;
use glost_model::doubt::Doubt;
use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::tariff::Tariff;
use glost_model::{Span, Temperature};

use crate::kiln::{Extent, KilnInput, KilnModel, NotAKiln, NotSimulated, simulate};
use crate::spread::in_order;

/// A kiln this far from its cone has missed it, in cones.
pub const MISSED: f64 = 0.5;

/// How to draw.
#[derive(Debug, Clone, Copy)]
pub struct Draws<'p> {
    /// How many kilns.
    pub number: usize,
    /// The same seed draws the same kilns.
    pub seed: u64,
    /// Worked on at the same time; the answer is the same whatever it is.
    pub threads: usize,
    /// What is not known.
    pub priors: &'p [Prior],
}

impl Default for Draws<'_> {
    /// Two dozen: the tenth and the ninetieth percentile then lie between two draws each, not at the outermost one.
    fn default() -> Self {
        Self {
            number: 24,
            seed: 1,
            threads: 2,
            priors: &PRIORS,
        }
    }
}

/// One kiln that was drawn.
#[derive(Debug, Clone, PartialEq)]
pub struct Draw {
    /// How far it was moved along each prior, in the prior's unit.
    pub shifts: Vec<f64>,
    /// What would happen in it.
    pub forecast: Forecast,
    /// The hold at the peak is over, since the start.
    pub peak_over: Option<Span>,
    /// The programme is over, since the start; nothing when the kiln stalls.
    pub over: Option<Span>,
    /// It may be opened, since the start; nothing when the kiln stalls.
    pub open: Option<Span>,
}

/// All kilns that were drawn, in order.
#[derive(Debug, Clone, PartialEq)]
pub struct Ensemble {
    /// The draws.
    pub draws: Vec<Draw>,
    seed: u64,
    cone: Cone,
    reference: usize,
    open_below: Temperature,
}

/// A kiln that was drawn cannot be modelled or simulated.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotDrawn {
    /// The kiln cannot be modelled.
    #[error(transparent)]
    Kiln(#[from] NotAKiln),
    /// The firing cannot be simulated.
    #[error(transparent)]
    Simulation(#[from] NotSimulated),
    /// No kiln was asked for.
    #[error("ask for at least one draw")]
    None,
}

/// Simulates a firing plan, unchanged, in kilns drawn around this one.
///
/// # Errors
/// [`NotDrawn`].
pub fn ensemble(
    kiln: &KilnInput,
    plan: &FiringPlan,
    tariff: &Tariff,
    draws: &Draws<'_>,
) -> Result<Ensemble, NotDrawn> {
    let belief = Belief::of(draws.priors);
    ensemble_by(kiln, plan, tariff, draws, &belief)
}

/// The same in kilns drawn by what is known of this one by now; the priors of `draws` are not looked at.
///
/// # Errors
/// [`NotDrawn`].
pub fn ensemble_by(
    kiln: &KilnInput,
    plan: &FiringPlan,
    tariff: &Tariff,
    draws: &Draws<'_>,
    belief: &Belief,
) -> Result<Ensemble, NotDrawn> {
    if draws.number == 0 {
        return Err(NotDrawn::None);
    }
    let points = cube::cube(draws.number, belief.len(), draws.seed, priors::MOST);
    let one = |point: &Vec<f64>| draw(kiln, plan, tariff, belief, point);
    let reference = KilnModel::new(kiln.clone())?.reference_zone();
    let found = in_order(points.len(), draws.threads, |i| one(&points[i]));
    Ok(Ensemble {
        draws: found.into_iter().collect::<Result<_, _>>()?,
        seed: draws.seed,
        cone: plan.cone,
        reference,
        open_below: kiln.opening.open,
    })
}

fn draw(
    kiln: &KilnInput,
    plan: &FiringPlan,
    tariff: &Tariff,
    belief: &Belief,
    point: &[f64],
) -> Result<Draw, NotDrawn> {
    let mut input = kiln.clone();
    let shifts = belief.at(point);
    belief.move_kiln(&mut input, &shifts);
    let open_below = input.opening.open;
    let model = KilnModel::new(input)?;
    let forecast = simulate(&model, plan, tariff, Extent::Cooling)?;
    let ends = forecast.segments_over_s.len() == plan.segments.len();
    let cooled = forecast.cooled.iter().find(|c| c.below_c == open_below);
    Ok(Draw {
        shifts,
        peak_over: forecast.peak_over(plan),
        over: ends.then_some(forecast.firing_s),
        open: cooled.and_then(|c| c.time_s).filter(|_| ends),
        forecast,
    })
}

/// Works out how sure the forecast of a firing is.
///
/// # Errors
/// [`NotDrawn`].
pub fn doubt(
    kiln: &KilnInput,
    plan: &FiringPlan,
    tariff: &Tariff,
    draws: &Draws<'_>,
) -> Result<Doubt, NotDrawn> {
    let belief = Belief::of(draws.priors);
    doubt_by(kiln, plan, tariff, draws, &belief)
}

/// The same by what is known of this kiln by now. The power in hand is that of the kiln in the middle of it.
///
/// # Errors
/// [`NotDrawn`].
pub fn doubt_by(
    kiln: &KilnInput,
    plan: &FiringPlan,
    tariff: &Tariff,
    draws: &Draws<'_>,
    belief: &Belief,
) -> Result<Doubt, NotDrawn> {
    let all = ensemble_by(kiln, plan, tariff, draws, belief)?;
    let mut middle = kiln.clone();
    belief.move_kiln(&mut middle, belief.mean());
    let margin = margin(&middle, plan, tariff)?;
    Ok(all.doubt(tariff, margin))
}
