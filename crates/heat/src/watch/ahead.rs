//! From a kiln as it stands to the end of its firing and of its cooling.

use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::tariff::Tariff;
use glost_model::{Span, Temperature};

use super::kilns::Kilns;
use super::normal::{dot, root};
use super::track::{Phase, Track};
use crate::doubt::cube::cube;
use crate::kiln::{Accuracy, Course, Extent, KilnInput, KilnModel, NotAKiln, NotSimulated};

/// Kilns drawn for the bands: the tenth and the ninetieth percentile lie between two of them each.
const DRAWS: usize = 12;
const FURTHEST: f64 = 2.5;

/// Why nothing is foreseen.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotForeseen {
    /// No such kiln.
    #[error(transparent)]
    Kiln(#[from] NotAKiln),
    /// It cannot be simulated.
    #[error(transparent)]
    Simulation(#[from] NotSimulated),
    /// The kilns that stand for it contradict each other.
    #[error("the kilns that stand for this one contradict each other")]
    Standing,
}

/// One future. Times in s since the start.
#[derive(Debug, Clone, PartialEq)]
pub struct Future {
    /// The programme is over.
    pub ends_s: Option<f64>,
    /// It may be opened.
    pub open_s: Option<f64>,
    /// Cone position of each zone.
    pub cones: Vec<f64>,
    /// Energy drawn by then, J.
    pub energy_j: f64,
    /// The curve.
    pub forecast: Forecast,
}

/// What futures start from.
pub struct From<'a> {
    /// The kilns.
    pub kilns: &'a Kilns,
    /// The kiln as it was described.
    pub input: &'a KilnInput,
    /// The programme.
    pub plan: &'a FiringPlan,
    /// Where it is in that.
    pub track: &'a Track,
    /// Share of its power that it lost by a fault.
    pub lost: f64,
}

impl From<'_> {
    /// The programme from here: what is left of a hold.
    pub fn plan_from_here(&self) -> FiringPlan {
        let mut plan = self.plan.clone();
        if let (Some(left_s), Some(s)) = (
            self.track.hold_left_s(),
            plan.segments.get_mut(self.track.segment),
        ) {
            s.hold = Span::s(left_s);
        }
        plan
    }

    /// A kiln that is off by this much, over the rest of a programme.
    ///
    /// # Errors
    /// [`NotForeseen`].
    pub fn future(
        &self,
        off: &[f64],
        plan: &FiringPlan,
        extent: Extent,
    ) -> Result<Future, NotForeseen> {
        let model = self.model(off)?;
        self.future_in(&model, off, plan, extent)
    }

    /// The kiln itself, to be asked several times.
    ///
    /// # Errors
    /// [`NotForeseen`].
    pub fn model(&self, off: &[f64]) -> Result<KilnModel, NotForeseen> {
        let belief = self.kilns.belief();
        let by: Vec<f64> = belief.mean().iter().zip(off).map(|(m, o)| m + o).collect();
        let mut input = belief.kiln(self.input, &by);
        input.tuning.power *= (1.0 - self.lost).clamp(0.02, 1.0);
        Ok(KilnModel::new(input)?)
    }

    /// The same with a kiln at hand.
    ///
    /// # Errors
    /// [`NotForeseen`].
    pub fn future_in(
        &self,
        model: &KilnModel,
        off: &[f64],
        plan: &FiringPlan,
        extent: Extent,
    ) -> Result<Future, NotForeseen> {
        let over = self.track.phase == Phase::Over;
        let behind = if over {
            plan.segments.len()
        } else {
            self.track.segment
        };
        let stands = self
            .kilns
            .standing(off, self.track.set_k, behind)
            .ok_or(NotForeseen::Standing)?;
        let tariff = Tariff::flat("", 0.0);
        let mut course = Course::resume(model, Accuracy::USUAL, stands)?;
        course.through(plan, plan.segments.len())?;
        let ended = course.has_ended(plan);
        let (forecast, ..) = course.end(plan, &tariff, extent)?;
        let open_below = model.input.opening.open;
        let cooled = forecast.cooled.iter().find(|c| c.below_c == open_below);
        Ok(Future {
            ends_s: ended.then_some(forecast.firing_s.to_s()),
            open_s: cooled
                .and_then(|c| c.time_s)
                .filter(|_| ended)
                .map(Span::to_s),
            cones: forecast.zones.iter().map(|z| z.cone_position).collect(),
            energy_j: forecast.energy_j.to_j(),
            forecast,
        })
    }

    /// Futures of kilns drawn about what is believed of this one.
    ///
    /// # Errors
    /// [`NotForeseen`]. A draw that leads nowhere is left out.
    pub fn drawn(
        &self,
        off: &[f64],
        covariance: &[Vec<f64>],
        plan: &FiringPlan,
        seed: u64,
    ) -> Result<Vec<Future>, NotForeseen> {
        let points = cube(DRAWS, off.len(), seed, FURTHEST);
        let l = root(covariance).ok_or(NotForeseen::Standing)?;
        let mut all = Vec::with_capacity(DRAWS);
        let mut failed = None;
        for point in &points {
            let by: Vec<f64> = off
                .iter()
                .zip(&l)
                .map(|(o, row)| o + dot(row, point))
                .collect();
            match self.future(&by, plan, Extent::Cooling) {
                Ok(future) => all.push(future),
                Err(e) => failed = Some(e),
            }
        }
        match failed {
            Some(e) if all.len() < DRAWS / 2 => Err(e),
            _ => Ok(all),
        }
    }
}

/// Sensor and ware of a zone at a time, on the straight line between samples.
pub fn at(forecast: &Forecast, zone: usize, time_s: f64) -> Option<(Temperature, Temperature)> {
    let i = forecast
        .samples
        .partition_point(|s| s.time_s.to_s() < time_s);
    let b = forecast.samples.get(i).or(forecast.samples.last())?;
    let a = i
        .checked_sub(1)
        .and_then(|i| forecast.samples.get(i))
        .unwrap_or(b);
    let whole = (b.time_s - a.time_s).to_s();
    let share = if whole > 0.0 {
        ((time_s - a.time_s.to_s()) / whole).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let between = |x: Temperature, y: Temperature| x + (y - x) * share;
    let ware = |s: &glost_model::forecast::Sample| s.ware_c.get(zone).copied();
    Some((between(a.sensor_c, b.sensor_c), between(ware(a)?, ware(b)?)))
}
