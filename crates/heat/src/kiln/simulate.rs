//! Firing a kiln by a plan.

use std::ops::ControlFlow;

use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::tariff::Tariff;

use super::build::KilnModel;
use super::cones::{Cones, SET_K};
use super::control::{ARRIVED_K, Aim};
use super::report::Recorder;
use super::system::Firing;
use crate::network::integrate::{NotIntegrated, Reached, Run, Shape, Stop, Work, integrate_shaped};

/// How far to simulate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Extent {
    /// To the end of the programme and the first of the cooling: until no cone moves any more.
    Firing,
    /// And the cooling after it.
    #[default]
    Cooling,
}

/// A firing that could not be simulated.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotSimulated {
    /// The integrator gave up.
    #[error(transparent)]
    Integrator(#[from] NotIntegrated),
    /// A target or hold that is not finite, or below 0 K, or a rate of zero.
    #[error("segment {0} of the firing plan has a rate, target or hold that cannot be")]
    Segment(usize),
    /// Temperatures that are no numbers.
    #[error("the heat equations lead nowhere: this kiln cannot do what its sensor shows")]
    Lost,
}

/// How exactly to integrate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// Relative tolerance of a step.
    pub relative: f64,
    /// Factor on the absolute tolerances.
    pub absolute: f64,
    /// No step is longer, s.
    pub longest_s: f64,
}

impl Accuracy {
    /// For forecasts: 0.15 K a step at 1500 K.
    pub const USUAL: Self = Self {
        relative: 1e-4,
        absolute: 1.0,
        longest_s: f64::INFINITY,
    };
    /// To measure the usual one by: short steps and tolerances a hundred times smaller.
    pub const FINE: Self = Self {
        relative: 1e-6,
        absolute: 1e-2,
        longest_s: 60.0,
    };
}

/// Samples in a firing and in cooling, s.
const LOOK_FIRING_S: f64 = 300.0;
const LOOK_COOLING_S: f64 = 900.0;
/// The forecast ends after this long without power, if not when the ware may be unloaded.
const COOLING_S: f64 = 80.0 * 3600.0;
/// No segment may last longer.
const SEGMENT_S: f64 = 200.0 * 3600.0;
/// A kiln at full power that gains less than this in this time has stalled, K and s.
const STALL_K: f64 = 5.0;
const STALL_S: f64 = 3600.0;
/// Nearly full power.
const FULL: f64 = 0.97;

/// Where a firing stands: brought up to the end of a segment it can be cloned, to try several ends.
#[derive(Clone)]
pub(crate) struct Course<'m> {
    model: &'m KilnModel,
    shape: &'m Shape,
    accuracy: Accuracy,
    work: Work,
    record: Recorder<'m>,
    time_s: f64,
    y: Vec<f64>,
    stalled: bool,
    /// Segments behind it.
    over: usize,
}

/// A kiln in the middle of a firing.
#[derive(Debug, Clone)]
pub(crate) struct Standing {
    /// Since the start, s.
    pub time_s: f64,
    /// The unknowns.
    pub y: Vec<f64>,
    /// Segments behind it.
    pub over: usize,
    /// What its cones have received.
    pub cones: Cones,
}

/// A segment that took longer than its rate says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Late {
    /// Which.
    pub segment: usize,
    /// The rate that the kiln kept, K/s.
    pub kept: f64,
}

/// Simulates a firing from a kiln at room temperature: the programme, then cooling with everything
/// closed.
///
/// # Errors
/// [`NotSimulated`].
pub fn simulate(
    model: &KilnModel,
    plan: &FiringPlan,
    tariff: &Tariff,
    extent: Extent,
) -> Result<Forecast, NotSimulated> {
    in_detail(model, plan, tariff, extent).map(|(forecast, _)| forecast)
}

/// The same as exactly as wanted, with what it cost.
///
/// # Errors
/// [`NotSimulated`].
pub fn simulate_as(
    model: &KilnModel,
    plan: &FiringPlan,
    tariff: &Tariff,
    extent: Extent,
    accuracy: Accuracy,
) -> Result<(Forecast, Work), NotSimulated> {
    run_through(model, plan, tariff, extent, accuracy).map(|(forecast, _, work)| (forecast, work))
}

/// The same with the segments that lagged.
pub(crate) fn in_detail(
    model: &KilnModel,
    plan: &FiringPlan,
    tariff: &Tariff,
    extent: Extent,
) -> Result<(Forecast, Vec<Late>), NotSimulated> {
    let all = run_through(model, plan, tariff, extent, Accuracy::USUAL);
    all.map(|(forecast, late, _)| (forecast, late))
}

fn run_through(
    model: &KilnModel,
    plan: &FiringPlan,
    tariff: &Tariff,
    extent: Extent,
    accuracy: Accuracy,
) -> Result<(Forecast, Vec<Late>, Work), NotSimulated> {
    let mut course = Course::new(model, accuracy)?;
    course.through(plan, plan.segments.len())?;
    course.end(plan, tariff, extent)
}

/// The shape of a kiln's equations, the same whatever the controller does; worked out once for a kiln.
pub(super) fn shape(model: &KilnModel) -> Result<&Shape, NotIntegrated> {
    if let Some(known) = model.shape.get() {
        return Ok(known);
    }
    let aim = Aim::Off { until_k: 0.0 };
    let still = Firing { model, aim };
    let shape = Shape::of(&still, 0.0, &still.start())?;
    Ok(model.shape.get_or_init(|| shape))
}

impl<'m> Course<'m> {
    /// A cold kiln.
    pub fn new(model: &'m KilnModel, accuracy: Accuracy) -> Result<Self, NotSimulated> {
        let aim = Aim::Off { until_k: 0.0 };
        Ok(Self {
            model,
            shape: shape(model)?,
            accuracy,
            work: Work::default(),
            record: Recorder::new(model),
            time_s: 0.0,
            y: Firing { model, aim }.start(),
            stalled: false,
            over: 0,
        })
    }

    /// A kiln as it stands: so many segments of its programme are over.
    pub fn resume(
        model: &'m KilnModel,
        accuracy: Accuracy,
        stands: Standing,
    ) -> Result<Self, NotSimulated> {
        let mut course = Self::new(model, accuracy)?;
        if stands.y.len() != course.y.len() {
            return Err(NotIntegrated::Unknowns.into());
        }
        course.record = Recorder::resume(model, stands.cones);
        course.time_s = stands.time_s;
        course.y = stands.y;
        course.over = stands.over;
        Ok(course)
    }

    /// Goes on until so many segments of the plan are over.
    pub fn through(&mut self, plan: &FiringPlan, segments: usize) -> Result<(), NotSimulated> {
        let ahead = plan.segments.iter().take(segments).enumerate();
        for (i, segment) in ahead.skip(self.over) {
            let target_k = segment.target.to_k();
            let (hold_s, rate) = (segment.hold.to_s(), segment.rate.map(|r| r.to_k_per_s()));
            let sane = target_k.is_finite()
                && target_k > 0.0
                && hold_s.is_finite()
                && hold_s >= 0.0
                && rate.is_none_or(|r| r.is_finite() && r != 0.0);
            if !sane {
                return Err(NotSimulated::Segment(i + 1));
            }
            if self.stalled {
                break;
            }
            self.segment(i, rate, target_k, hold_s)?;
            self.over = i + 1;
        }
        Ok(())
    }

    /// All segments of the plan are behind it; a kiln that stalls never comes there.
    pub fn has_ended(&self, plan: &FiringPlan) -> bool {
        !self.stalled && self.over >= plan.segments.len()
    }

    /// Cools down once all segments of the plan are over.
    pub fn end(
        mut self,
        plan: &FiringPlan,
        tariff: &Tariff,
        extent: Extent,
    ) -> Result<(Forecast, Vec<Late>, Work), NotSimulated> {
        let (ended_s, stalled) = (self.time_s, self.stalled);
        self.record.programme_ended(ended_s);
        let cool_k = self.model.input.opening.unload.to_k() - 1.0;
        let until_k = match extent {
            Extent::Cooling => cool_k,
            Extent::Firing => {
                let warmest = self.firing(Aim::Off { until_k: 0.0 });
                (warmest.warmest_k(&self.y) - SET_K).max(cool_k)
            }
        };
        self.go(Aim::Off { until_k }, COOLING_S, usize::MAX)?;
        let late = self.record.late.clone();
        let forecast = self
            .record
            .forecast(plan, tariff, &self.y, ended_s, stalled);
        Ok((forecast, late, self.work))
    }

    fn firing(&self, aim: Aim) -> Firing<'m> {
        Firing {
            model: self.model,
            aim,
        }
    }

    fn segment(
        &mut self,
        number: usize,
        rate: Option<f64>,
        target_k: f64,
        hold_s: f64,
    ) -> Result<(), NotSimulated> {
        let here = self.firing(Aim::Hold { target_k });
        let (set, sensor) = (here.set_index(), here.sensor_k(&self.y));
        let began_s = self.time_s;
        let from_k = self.y[set];
        let rising = target_k >= from_k;
        if let Some(rate) = rate
            && (target_k - from_k).abs() > 1e-6
        {
            let rate = if rising { rate.abs() } else { -rate.abs() };
            self.go(Aim::Ramp { rate, target_k }, SEGMENT_S, number)?;
        }
        if self.stalled {
            return Ok(());
        }
        self.y[set] = target_k;
        let short = if rising {
            target_k - here.sensor_k(&self.y)
        } else {
            here.sensor_k(&self.y) - target_k
        };
        if short > ARRIVED_K {
            self.go(Aim::Arrive { target_k, rising }, SEGMENT_S, number)?;
        }
        let took_s = self.time_s - began_s;
        self.record
            .segment_ended(number, rate, target_k - sensor, took_s);
        if !self.stalled && hold_s > 0.0 {
            self.go(Aim::Hold { target_k }, hold_s, number)?;
        }
        if !self.stalled {
            self.record.hold_ended(self.time_s);
        }
        Ok(())
    }

    /// Runs until the aim is met.
    fn go(&mut self, aim: Aim, at_most_s: f64, segment: usize) -> Result<(), NotSimulated> {
        let firing = self.firing(aim);
        let cooling = matches!(aim, Aim::Off { .. });
        let watch = matches!(aim, Aim::Ramp { rate, .. } if rate > 0.0)
            || matches!(aim, Aim::Arrive { rising: true, .. });
        let run = Run {
            from_s: self.time_s,
            to_s: self.time_s + at_most_s,
            relative: self.accuracy.relative,
            absolute: self.accuracy.absolute,
            longest_s: self.accuracy.longest_s,
            look_every_s: if cooling {
                LOOK_COOLING_S
            } else {
                LOOK_FIRING_S
            },
        };
        let full = firing.full_power_w() * FULL;
        let mut mark = (self.time_s, firing.sensor_k(&self.y));
        let mut stalled = false;
        let shape = self.shape;
        let Reached {
            time_s,
            y,
            stop,
            work,
        } = integrate_shaped(&firing, shape, &self.y, run, &mut |t, y| {
            self.record.look(&firing, t, y, segment);
            let sensor = firing.sensor_k(y);
            if !watch || firing.power_w(y) < full || sensor > mark.1 + STALL_K {
                mark = (t, sensor);
            }
            if t - mark.0 >= STALL_S {
                stalled = true;
                return ControlFlow::Break(());
            }
            ControlFlow::Continue(())
        })?;
        let endless = watch && stop == Stop::Time;
        self.time_s = time_s;
        self.y = y;
        self.work += work;
        self.stalled = stalled || endless;
        Ok(())
    }
}
