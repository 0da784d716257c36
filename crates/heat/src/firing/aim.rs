//! What a firing should be best at.

use glost_model::Money;
use glost_model::firing::{Aim, DropHold, FiringPlan};
use glost_model::forecast::Forecast;
use glost_model::tariff::Tariff;
use jiff::ZonedDateTime;

/// A cone bent by half a cone too little or too much is read as another by eye.
pub const HALF_CONE: f64 = 0.5;
/// A cone beyond that half on some tier is worth so many hours.
const HOURS_A_CONE: f64 = 10.0;
/// An hour more must bring tiers together by this much, cones.
const CONES_AN_HOUR: f64 = 0.02;

/// What is wished of a firing.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wishes {
    /// What to seek.
    pub aim: Aim,
    /// A fall and hold after the peak.
    pub drop_hold: Option<DropHold>,
    /// When it starts, where the price of energy goes by the hour.
    pub start: Option<ZonedDateTime>,
}

/// How far zones lie apart, hottest less coolest, and how far all of them together lie beyond half a cone of
/// what is wanted, in cones.
pub fn apart(plan: &FiringPlan, forecast: &Forecast) -> (f64, f64) {
    let at = || forecast.zones.iter().map(|z| z.cone_position);
    let spread = at().fold(f64::NEG_INFINITY, f64::max) - at().fold(f64::INFINITY, f64::min);
    let wanted = plan.cone.position();
    let beyond = at()
        .map(|c| ((c - wanted).abs() - HALF_CONE).max(0.0))
        .sum();
    (spread.max(0.0), beyond)
}

/// What a firing costs: by the hour when its start is known, and with its highest draw.
pub fn cost(forecast: &Forecast, tariff: &Tariff, start: Option<&ZonedDateTime>) -> Money {
    let energy = match start {
        Some(start) => tariff.cost_from(start, &forecast.drawn()),
        None => tariff.cost(forecast.energy_j),
    };
    Money::units(energy.to_units() + tariff.cost_of_draw(forecast.highest_w).to_units())
}

impl Wishes {
    /// The less, the better. `hours` to the end of the peak.
    pub fn score(
        &self,
        plan: &FiringPlan,
        forecast: &Forecast,
        tariff: &Tariff,
        hours: f64,
    ) -> f64 {
        let (spread, beyond) = apart(plan, forecast);
        match self.aim {
            Aim::Soonest => hours + HOURS_A_CONE * beyond,
            Aim::Evenest => spread + CONES_AN_HOUR * hours,
            Aim::Cheapest => {
                let cost = cost(forecast, tariff, self.start.as_ref()).to_units();
                cost + cost_of_an_hour(tariff) * (HOURS_A_CONE * beyond + 0.01 * hours)
            }
        }
    }
}

/// About what an hour at half of ten kilowatts costs: only weighs money against time and evenness.
fn cost_of_an_hour(tariff: &Tariff) -> f64 {
    tariff.per_kwh * 5.0
}
