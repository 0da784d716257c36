//! The one place that knows the integrator: backward differentiation of variable order and step
//! (crate `diffsol`) with a sparse analytic Jacobian.

use std::ops::ControlFlow;

use diffsol::op::unit::UnitCallable;
use diffsol::op::{Op, ParameterisedOp};
use diffsol::{
    Bdf, ConstantOp, FaerContext, FaerSparseLU, FaerSparseMat, FaerVec, Matrix, NonLinearOp,
    NonLinearOpJacobian, OdeBuilder, OdeEquations, OdeEquationsRef, OdeSolverMethod,
    OdeSolverStopReason, Vector, VectorCommon,
};
use faer::sparse::SymbolicSparseColMat;

/// A stiff system of ordinary differential equations.
pub trait System {
    /// How many unknowns.
    fn len(&self) -> usize;
    /// True without unknowns.
    fn is_empty(&self) -> bool {
        self.len() == 0
    }
    /// Their rates at a time.
    fn rates(&self, time_s: f64, y: &[f64], dy: &mut [f64]);
    /// Hands every entry (row, column, value) of the Jacobian to `put`. Entries of one place add up.
    /// The places and their order must be the same at every call.
    fn jacobian(&self, time_s: f64, y: &[f64], put: &mut dyn FnMut(usize, usize, f64));
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

/// Where an integration ended.
#[derive(Debug, Clone)]
pub struct Reached {
    /// Time, s.
    pub time_s: f64,
    /// Unknowns.
    pub y: Vec<f64>,
    /// Why it ended.
    pub stop: Stop,
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
    /// The observer is called at whole multiples of this, and at the end, s.
    pub look_every_s: f64,
}

/// The integrator gave up, in its own words.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("the heat equations could not be integrated: {0}")]
pub struct NotIntegrated(String);

type M = FaerSparseMat<f64>;
type V = FaerVec<f64>;

struct Equations<'s, S> {
    system: &'s S,
    start: &'s [f64],
    context: FaerContext,
    pattern: SymbolicSparseColMat<usize>,
    /// Place in the value array of the k-th entry that the system hands over.
    slots: Vec<usize>,
}

struct Rates<'a, 's, S>(&'a Equations<'s, S>);
struct Event<'a, 's, S>(&'a Equations<'s, S>);
struct Start<'a, 's, S>(&'a Equations<'s, S>);

impl<'s, S: System> Equations<'s, S> {
    fn new(system: &'s S, time_s: f64, start: &'s [f64]) -> Result<Self, NotIntegrated> {
        let n = system.len();
        let mut places = Vec::new();
        system.jacobian(time_s, start, &mut |i, j, _| places.push((j, i)));
        let mut sorted = places.clone();
        sorted.extend((0..n).map(|i| (i, i)));
        sorted.sort_unstable();
        sorted.dedup();
        let slots = places
            .iter()
            .map(|p| sorted.partition_point(|q| q < p))
            .collect();
        let ends = (0..=n)
            .map(|j| sorted.partition_point(|(column, _)| *column < j))
            .collect();
        let rows = sorted.iter().map(|(_, i)| *i).collect();
        if sorted.iter().any(|(j, i)| *j >= n || *i >= n) || start.len() != n {
            return Err(NotIntegrated("an unknown that does not exist".into()));
        }
        Ok(Self {
            system,
            start,
            context: FaerContext::default(),
            pattern: SymbolicSparseColMat::new_checked(n, n, ends, None, rows),
            slots,
        })
    }
}

macro_rules! op {
    ($($name:ty: $out:expr;)+) => {$(
        impl<S: System> Op for $name {
            type T = f64;
            type V = V;
            type M = M;
            type C = FaerContext;
            fn context(&self) -> &FaerContext { &self.equations().context }
            fn nstates(&self) -> usize { self.equations().system.len() }
            fn nout(&self) -> usize { let n: fn(usize) -> usize = $out; n(self.nstates()) }
            fn nparams(&self) -> usize { 0 }
        }
    )+};
}
op! {
    Equations<'_, S>: |n| n;
    Rates<'_, '_, S>: |n| n;
    Event<'_, '_, S>: |_| 1;
    Start<'_, '_, S>: |n| n;
}

impl<'s, S> Equations<'s, S> {
    fn equations(&self) -> &Self {
        self
    }
}
impl<'a, 's, S> Rates<'a, 's, S> {
    fn equations(&self) -> &'a Equations<'s, S> {
        self.0
    }
}
impl<'a, 's, S> Event<'a, 's, S> {
    fn equations(&self) -> &'a Equations<'s, S> {
        self.0
    }
}
impl<'a, 's, S> Start<'a, 's, S> {
    fn equations(&self) -> &'a Equations<'s, S> {
        self.0
    }
}

impl<S: System> NonLinearOp for Rates<'_, '_, S> {
    fn call_inplace(&self, x: &V, t: f64, y: &mut V) {
        y.for_each_batch_host([x], |dy, [x], _| self.0.system.rates(t, x, dy));
    }
}

impl<S: System> NonLinearOpJacobian for Rates<'_, '_, S> {
    fn jac_mul_inplace(&self, x: &V, t: f64, v: &V, y: &mut V) {
        y.for_each_batch_host([x, v], |out, [x, v], _| {
            out.fill(0.0);
            self.0
                .system
                .jacobian(t, x, &mut |i, j, value| out[i] += value * v[j]);
        });
    }

    fn jacobian_inplace(&self, x: &V, t: f64, m: &mut M) {
        for matrix in m.inner_mut() {
            let values = matrix.val_mut();
            values.fill(0.0);
            let mut slots = self.0.slots.iter();
            self.0.system.jacobian(t, numbers(x), &mut |_, _, value| {
                if let Some(place) = slots.next().and_then(|s| values.get_mut(*s)) {
                    *place += value;
                }
            });
        }
    }

    fn jacobian_sparsity(&self) -> Option<<M as Matrix>::Sparsity> {
        Some(self.0.pattern.clone())
    }
}

impl<S: System> NonLinearOp for Event<'_, '_, S> {
    fn call_inplace(&self, x: &V, t: f64, y: &mut V) {
        y.for_each_batch_host([x], |out, [x], _| out.fill(self.0.system.event(t, x)));
    }
}

impl<S: System> ConstantOp for Start<'_, '_, S> {
    fn call_inplace(&self, _t: f64, y: &mut V) {
        y.for_each_batch_host([], |out, [], _| out.copy_from_slice(self.0.start));
    }
}

impl<'a, 's, S: System> OdeEquationsRef<'a> for Equations<'s, S> {
    type Mass = ParameterisedOp<'a, UnitCallable<M>>;
    type Rhs = Rates<'a, 's, S>;
    type Root = Event<'a, 's, S>;
    type Init = Start<'a, 's, S>;
    type Out = ParameterisedOp<'a, UnitCallable<M>>;
    type Reset = ParameterisedOp<'a, UnitCallable<M>>;
}

impl<S: System> OdeEquations for Equations<'_, S> {
    fn rhs(&self) -> <Self as OdeEquationsRef<'_>>::Rhs {
        Rates(self)
    }
    fn mass(&self) -> Option<<Self as OdeEquationsRef<'_>>::Mass> {
        None
    }
    fn root(&self) -> Option<<Self as OdeEquationsRef<'_>>::Root> {
        Some(Event(self))
    }
    fn init(&self) -> <Self as OdeEquationsRef<'_>>::Init {
        Start(self)
    }
    fn set_params(&mut self, _p: &V) {}
    fn get_params(&self, _p: &mut V) {}
}

fn numbers(v: &V) -> &[f64] {
    v.inner().col_as_slice(0)
}

fn refused(e: &diffsol::DiffsolError) -> NotIntegrated {
    NotIntegrated(e.to_string())
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
    let n = system.len();
    let reached = |time_s: f64, y: &[f64], stop: Stop| Reached {
        time_s,
        y: y.to_vec(),
        stop,
    };
    if n == 0 || run.to_s <= run.from_s {
        return Ok(reached(run.from_s, start, Stop::Time));
    }
    let equations = Equations::new(system, run.from_s, start)?;
    let mut problem = OdeBuilder::<M>::new()
        .t0(run.from_s)
        .h0(1.0)
        .rtol(run.relative)
        .atol((0..n).map(|i| system.tolerance(i)).collect::<Vec<_>>())
        .build_from_eqn(equations)
        .map_err(|e| refused(&e))?;
    // These count over the whole run, not over one step.
    problem.ode_options.max_nonlinear_solver_failures = 100_000;
    problem.ode_options.max_error_test_failures = 100_000;
    let mut solver: Bdf<'_, _, FaerSparseLU<f64>> = problem.bdf().map_err(|e| refused(&e))?;
    solver.set_stop_time(run.to_s).map_err(|e| refused(&e))?;
    let mut look = (run.from_s / run.look_every_s).floor() * run.look_every_s + run.look_every_s;
    let mut between = V::zeros(n, FaerContext::default());
    loop {
        let why = solver.step().map_err(|e| refused(&e))?;
        let end = match why {
            OdeSolverStopReason::RootFound(t, _) => t,
            _ => solver.state().t,
        };
        while look < end {
            solver
                .interpolate_inplace(look, &mut between)
                .map_err(|e| refused(&e))?;
            if observe(look, numbers(&between)).is_break() {
                return Ok(reached(look, numbers(&between), Stop::Observer));
            }
            look += run.look_every_s;
        }
        let stop = match why {
            OdeSolverStopReason::InternalTimestep => continue,
            OdeSolverStopReason::RootFound(..) => Stop::Event,
            OdeSolverStopReason::TstopReached => Stop::Time,
        };
        solver
            .interpolate_inplace(end, &mut between)
            .map_err(|e| refused(&e))?;
        let broke = observe(end, numbers(&between)).is_break();
        return Ok(reached(
            end,
            numbers(&between),
            if broke { Stop::Observer } else { stop },
        ));
    }
}
