//! How much power is in hand: at which age of its elements, or which voltage, a kiln no longer keeps a programme or no
//! longer reaches its cone.

use glost_model::Temperature;
use glost_model::doubt::{Limit, Margin, PowerLimit};
use glost_model::firing::FiringPlan;
use glost_model::tariff::Tariff;

use super::{MISSED, NotDrawn};
use crate::kiln::{Extent, KilnInput, KilnModel, in_detail};

/// Shares of its power between which limits are sought.
const LEAST: f64 = 0.5;
const MOST: f64 = 1.5;
/// Limits are found to this share of its power.
const NEAR: f64 = 0.002;

/// What a kiln makes of a programme.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strength {
    /// Every ramp up takes about as long as it says, and the programme ends.
    pub keeps: bool,
    /// The programme ends and the middle of the kiln gets its cone.
    pub reaches: bool,
    /// Highest that the sensor reads if it stalls.
    pub stalls: Option<Temperature>,
}

/// Tries a programme in a kiln.
///
/// # Errors
/// [`NotDrawn`].
pub fn strength(
    kiln: &KilnInput,
    plan: &FiringPlan,
    tariff: &Tariff,
) -> Result<Strength, NotDrawn> {
    let model = KilnModel::new(kiln.clone())?;
    let (forecast, late) = in_detail(&model, plan, tariff, Extent::Firing)?;
    let ends = forecast.segments_over_s.len() == plan.segments.len();
    let middle = forecast.zones.get(model.reference_zone());
    let least = plan.cone.position() - MISSED;
    Ok(Strength {
        keeps: ends && late.is_empty(),
        reaches: ends && middle.is_some_and(|z| z.cone_position >= least),
        stalls: (!ends).then_some(forecast.peak_c),
    })
}

/// How much power a kiln has in hand. Power goes with the square of the voltage over the resistance, and nothing else
/// in the kiln minds either, so that one search answers for both.
///
/// # Errors
/// [`NotDrawn`].
pub fn margin(kiln: &KilnInput, plan: &FiringPlan, tariff: &Tariff) -> Result<Margin, NotDrawn> {
    let mut search = Search {
        kiln,
        plan,
        tariff,
        known: Vec::new(),
    };
    Ok(Margin {
        ageing: kiln.ageing,
        keeps: search.limit(|s| s.keeps)?,
        reaches: search.limit(|s| s.reaches)?,
    })
}

struct Search<'a> {
    kiln: &'a KilnInput,
    plan: &'a FiringPlan,
    tariff: &'a Tariff,
    /// What was tried already.
    known: Vec<(f64, Strength)>,
}

impl Search<'_> {
    fn at(&mut self, power: f64) -> Result<Strength, NotDrawn> {
        let same = |k: &&(f64, Strength)| k.0.to_bits() == power.to_bits();
        if let Some((_, known)) = self.known.iter().find(same) {
            return Ok(*known);
        }
        let mut kiln = self.kiln.clone();
        kiln.tuning.power *= power;
        let found = strength(&kiln, self.plan, self.tariff)?;
        self.known.push((power, found));
        Ok(found)
    }

    fn limit(&mut self, holds: impl Fn(&Strength) -> bool) -> Result<Limit, NotDrawn> {
        let (mut fails, mut does) = if holds(&self.at(1.0)?) {
            if holds(&self.at(LEAST)?) {
                return Ok(Limit::Far);
            }
            (LEAST, 1.0)
        } else {
            if !holds(&self.at(MOST)?) {
                return Ok(Limit::Never);
            }
            (1.0, MOST)
        };
        while does - fails > NEAR {
            let middle = (does + fails) / 2.0;
            if holds(&self.at(middle)?) {
                does = middle;
            } else {
                fails = middle;
            }
        }
        let stalls_c = self.at(fails)?.stalls;
        Ok(Limit::At(PowerLimit {
            power: fails,
            ageing: self.kiln.ageing / fails,
            mains: self.kiln.mains * fails.sqrt(),
            stalls_c,
        }))
    }
}
