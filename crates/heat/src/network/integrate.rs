//! Integration of stiff equations in time with error control, and what it asks of a system.

use std::ops::ControlFlow;

use super::ndf::Stepper;
pub use super::shape::Shape;

/// A stiff system of ordinary differential equations, with quantities behind it that have no
/// inertia and follow from the unknowns by linear equations.
pub trait System {
    /// How many unknowns.
    fn len(&self) -> usize;
    /// True without unknowns.
    fn is_empty(&self) -> bool {
        self.len() == 0
    }
    /// How many quantities without inertia. In [`System::jacobian`] they come after the unknowns, as
    /// rows that are zero and as columns.
    fn hidden(&self) -> usize {
        0
    }
    /// How many numbers it wants to keep while it works, so that no call needs memory of its own.
    fn scratch(&self) -> usize;
    /// Their rates at a time.
    fn rates(&self, time_s: f64, y: &[f64], dy: &mut [f64], scratch: &mut [f64]);
    /// Hands every entry (row, column, value) of the Jacobian to `put`. Entries of one place add up.
    /// The places and their order must be the same at every call.
    fn jacobian(
        &self,
        time_s: f64,
        y: &[f64],
        scratch: &mut [f64],
        put: &mut dyn FnMut(usize, usize, f64),
    );
    /// Absolute tolerance of an unknown.
    fn tolerance(&self, index: usize) -> f64;
    /// Integration stops where this passes through zero.
    fn event(&self, _time_s: f64, _y: &[f64]) -> f64 {
        1.0
    }
}

/// Why an integration ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stop {
    /// The end of the time asked for.
    Time,
    /// [`System::event`] passed through zero.
    Event,
    /// The observer said so.
    Observer,
}

/// How much work an integration was.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Work {
    /// Steps taken.
    pub steps: usize,
    /// Calls of [`System::rates`].
    pub rates: usize,
    /// Calls of [`System::jacobian`].
    pub jacobians: usize,
    /// Factorisations.
    pub factorisations: usize,
}

impl std::ops::AddAssign for Work {
    fn add_assign(&mut self, o: Self) {
        self.steps += o.steps;
        self.rates += o.rates;
        self.jacobians += o.jacobians;
        self.factorisations += o.factorisations;
    }
}

/// Where an integration ended.
#[derive(Debug, Clone)]
pub struct Reached {
    /// Time, s.
    pub time_s: f64,
    /// Unknowns.
    pub y: Vec<f64>,
    /// Why it ended.
    pub stop: Stop,
    /// What it cost.
    pub work: Work,
}

/// Over what time, how exactly, and how often to look.
#[derive(Debug, Clone, Copy)]
pub struct Run {
    /// Start, s.
    pub from_s: f64,
    /// End, s.
    pub to_s: f64,
    /// Relative tolerance of a step.
    pub relative: f64,
    /// Factor on the absolute tolerances of the system.
    pub absolute: f64,
    /// No step is longer, s.
    pub longest_s: f64,
    /// The observer is called at whole multiples of this, and at the end, s.
    pub look_every_s: f64,
}

/// The integrator gave up.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NotIntegrated {
    /// The unknowns or the Jacobian do not fit the system.
    #[error("the heat equations could not be integrated: an unknown that does not exist")]
    Unknowns,
    /// The step went to nothing.
    #[error("the heat equations could not be integrated: at {0} s no step is short enough")]
    Step(u64),
}

/// Integrates from `start`, calling `observe` with time and unknowns.
///
/// # Errors
/// [`NotIntegrated`] when steps shrink to nothing or the system contradicts itself.
pub fn integrate<S: System>(
    system: &S,
    start: &[f64],
    run: Run,
    observe: &mut dyn FnMut(f64, &[f64]) -> ControlFlow<()>,
) -> Result<Reached, NotIntegrated> {
    let shape = Shape::of(system, run.from_s, start)?;
    integrate_shaped(system, &shape, start, run, observe)
}

/// The same for a system whose shape is known already.
///
/// # Errors
/// As [`integrate`].
pub fn integrate_shaped<S: System>(
    system: &S,
    shape: &Shape,
    start: &[f64],
    run: Run,
    observe: &mut dyn FnMut(f64, &[f64]) -> ControlFlow<()>,
) -> Result<Reached, NotIntegrated> {
    let reached = |time_s: f64, y: &[f64], stop: Stop, work: Work| Reached {
        time_s,
        y: y.to_vec(),
        stop,
        work,
    };
    if system.is_empty() || run.to_s <= run.from_s {
        return Ok(reached(run.from_s, start, Stop::Time, Work::default()));
    }
    let mut stepper = Stepper::new(system, shape, start, &run)?;
    let mut look = (run.from_s / run.look_every_s).floor() * run.look_every_s + run.look_every_s;
    let mut between = start.to_vec();
    let mut sign = system.event(run.from_s, start);
    loop {
        let before = stepper.time_s();
        stepper.step(run.to_s)?;
        let mut end = stepper.time_s();
        let value = system.event(end, stepper.y());
        let mut stop = (end >= run.to_s).then_some(Stop::Time);
        // One that starts at zero has not passed through it.
        if sign * value < 0.0 || (sign != 0.0 && value == 0.0) {
            end = crossing(system, &stepper, (before, sign), (end, value), &mut between);
            stop = Some(Stop::Event);
        }
        sign = value;
        while look < end {
            stepper.between(look, &mut between);
            if observe(look, &between).is_break() {
                return Ok(reached(look, &between, Stop::Observer, stepper.work()));
            }
            look += run.look_every_s;
        }
        if let Some(stop) = stop {
            stepper.between(end, &mut between);
            let broke = observe(end, &between).is_break();
            let stop = if broke { Stop::Observer } else { stop };
            return Ok(reached(end, &between, stop, stepper.work()));
        }
    }
}

/// Where the event passes through zero within the last step, by the Illinois rule.
fn crossing<S: System>(
    system: &S,
    stepper: &Stepper<'_, S>,
    mut a: (f64, f64),
    mut b: (f64, f64),
    y: &mut [f64],
) -> f64 {
    for _ in 0..60 {
        if (b.0 - a.0).abs() < 1e-6 || b.1 == 0.0 {
            break;
        }
        let t = (a.0 * b.1 - b.0 * a.1) / (b.1 - a.1);
        stepper.between(t, y);
        let value = system.event(t, y);
        if value * b.1 < 0.0 {
            a = b;
        } else {
            a.1 /= 2.0;
        }
        b = (t, value);
    }
    b.0.max(a.0.min(b.0))
}
