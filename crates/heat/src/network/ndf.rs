//! Numerical differentiation formulas of order 1 to 5 in steps of nearly constant length (L. F.
//! Shampine, M. W. Reichelt, The MATLAB ODE Suite, SIAM J. Sci. Comput. 18 (1997) 1).
//!
//! All memory is taken before the first step. The pattern of the equations comes from outside and serves
//! any number of integrations.

use super::formula::{ORDERS, alpha, error_share, gamma, triangle};
use super::integrate::{NotIntegrated, Run, System, Work};
use super::shape::Shape;
use super::sparse::Factors;

const NEWTON_TRIES: usize = 4;
/// Newton's method stops when it is off by no more than this share of the tolerance of a step.
const NEWTON: f64 = 0.03;
/// Sums over time are held to this share of the relative tolerance.
const SUMS: f64 = 0.01;
/// The first step is no longer, s.
const FIRST_S: f64 = 1.0;
/// A step as short as this has failed, s and as a share of the time.
const SHORTEST_S: f64 = 1e-20;
const SHORTEST: f64 = 1e-15;

/// An integration under way.
pub struct Stepper<'s, S> {
    system: &'s S,
    shape: &'s Shape,
    relative: f64,
    longest_s: f64,
    newton: f64,
    tolerances: Vec<f64>,
    time_s: f64,
    h: f64,
    order: usize,
    /// Steps of this length and order so far.
    alike: usize,
    /// Backward differences: the unknowns, their last step, the change of that and so on.
    differences: Vec<Vec<f64>>,
    /// Entries of the Jacobian as the system hands them over.
    slopes: Vec<f64>,
    slopes_are_new: bool,
    factors: Factors,
    /// Step over α that the factors are for.
    factors_for: Option<f64>,
    /// By how much a try shrank the error with these factors.
    pace: Option<f64>,
    y: Vec<f64>,
    dy: Vec<f64>,
    guess: Vec<f64>,
    /// One over the tolerance of each unknown.
    weights: Vec<f64>,
    lean: Vec<f64>,
    moved: Vec<f64>,
    right: Vec<f64>,
    room: Vec<f64>,
    scratch: Vec<f64>,
    mixed: [Vec<f64>; ORDERS + 1],
    work: Work,
}

impl<'s, S: System> Stepper<'s, S> {
    pub fn new(
        system: &'s S,
        shape: &'s Shape,
        start: &[f64],
        run: &Run,
    ) -> Result<Self, NotIntegrated> {
        let n = system.len();
        if start.len() != n || shape.unknowns != n {
            return Err(NotIntegrated::Unknowns);
        }
        let zeros = || vec![0.0; n];
        let mut differences = vec![zeros(); ORDERS + 3];
        differences[0].copy_from_slice(start);
        let mut new = Self {
            system,
            shape,
            relative: run.relative,
            longest_s: run.longest_s,
            newton: (10.0 * f64::EPSILON / run.relative).max(NEWTON),
            tolerances: (0..n).map(|i| run.absolute * system.tolerance(i)).collect(),
            time_s: run.from_s,
            h: FIRST_S.min(run.longest_s).min(run.to_s - run.from_s),
            order: 1,
            alike: 0,
            differences,
            slopes: vec![0.0; shape.entries],
            slopes_are_new: false,
            factors: Factors::new(&shape.pattern),
            factors_for: None,
            pace: None,
            y: start.to_vec(),
            dy: zeros(),
            guess: start.to_vec(),
            weights: zeros(),
            lean: zeros(),
            moved: zeros(),
            right: vec![0.0; n + system.hidden()],
            room: vec![0.0; n + system.hidden()],
            scratch: vec![0.0; system.scratch()],
            mixed: std::array::from_fn(|_| zeros()),
            work: Work::default(),
        };
        new.weigh();
        new.linearise(run.from_s, start);
        new.rates(run.from_s);
        // At its first rates nothing moves by more than its tolerance.
        let moving = new.norm(&new.dy);
        new.h = new.h.min(1.0 / moving.max(f64::MIN_POSITIVE));
        let Self {
            differences, dy, h, ..
        } = &mut new;
        for (d, rate) in differences[1].iter_mut().zip(dy.iter()) {
            *d = rate * *h;
        }
        Ok(new)
    }

    pub fn time_s(&self) -> f64 {
        self.time_s
    }

    pub fn y(&self) -> &[f64] {
        &self.differences[0]
    }

    pub fn work(&self) -> Work {
        self.work
    }

    fn linearise(&mut self, time_s: f64, at: &[f64]) {
        let mut slopes = self.slopes.iter_mut();
        let mut put = |_: usize, _: usize, value: f64| {
            if let Some(s) = slopes.next() {
                *s = value;
            }
        };
        self.system
            .jacobian(time_s, at, &mut self.scratch, &mut put);
        self.slopes_are_new = true;
        self.factors_for = None;
        self.work.jacobians += 1;
    }

    /// Rates at `self.y`.
    fn rates(&mut self, time_s: f64) {
        self.system
            .rates(time_s, &self.y, &mut self.dy, &mut self.scratch);
        self.work.rates += 1;
    }

    /// Factors of 1 − c J.
    fn factorise(&mut self, c: f64) -> bool {
        self.factors.values.fill(0.0);
        for i in &self.shape.diagonal {
            self.factors.values[*i] = 1.0;
        }
        for (k, place, rate) in &self.shape.slots {
            self.factors.values[*place] -= self.slopes[*k] * if *rate { c } else { 1.0 };
        }
        self.pace = None;
        self.work.factorisations += 1;
        self.factors_for = Some(c);
        self.factors.factorise(&self.shape.pattern)
    }

    /// How many of its tolerances each unknown is off, root mean square.
    fn norm(&self, v: &[f64]) -> f64 {
        let off = v.iter().zip(&self.weights).map(|(v, w)| v * w);
        (off.map(|o| o * o).sum::<f64>() / v.len() as f64).sqrt()
    }

    /// Weighs the unknowns by their tolerances at the guess.
    fn weigh(&mut self) {
        let sizes = self.tolerances.iter().zip(&self.guess);
        for (w, (absolute, y)) in self.weights.iter_mut().zip(sizes) {
            *w = 1.0 / (absolute + self.relative * y.abs());
        }
        // A root mean square over a hundred unknowns would let one sum be ten times as far off.
        for (_, row, _) in &self.shape.sums {
            let absolute = self.tolerances[*row];
            self.weights[*row] = 1.0 / (absolute + SUMS * self.relative * self.guess[*row].abs());
        }
    }

    /// One step, not beyond a time.
    ///
    /// # Errors
    /// [`NotIntegrated::Step`].
    pub fn step(&mut self, to_s: f64) -> Result<(), NotIntegrated> {
        if self.h > self.longest_s {
            self.rescale(self.longest_s / self.h);
        }
        self.slopes_are_new = false;
        loop {
            if self.h < SHORTEST_S + SHORTEST * self.time_s.abs() {
                return Err(NotIntegrated::Step(self.time_s.max(0.0) as u64));
            }
            let left = to_s - self.time_s;
            if self.h > left {
                self.rescale(left / self.h);
            }
            // The last step ends exactly where it must.
            let at_end = self.h >= left * (1.0 - 1e-12);
            let time_s = if at_end { to_s } else { self.time_s + self.h };
            self.predict();
            let Some(tries) = self.correct(time_s) else {
                if self.slopes_are_new {
                    self.rescale(0.5);
                } else {
                    let guess = std::mem::take(&mut self.guess);
                    self.linearise(time_s, &guess);
                    self.guess = guess;
                }
                continue;
            };
            let most = NEWTON_TRIES as f64;
            let safety = 0.9 * (2.0 * most + 1.0) / (2.0 * most + tries as f64);
            let error = error_share(self.order) * self.norm(&self.moved);
            if error > 1.0 {
                let power = -1.0 / (self.order as f64 + 1.0);
                self.rescale((safety * error.powf(power)).max(0.2));
                continue;
            }
            self.time_s = time_s;
            self.work.steps += 1;
            self.accept();
            self.choose(safety, error);
            return Ok(());
        }
    }

    /// The polynomial through the last steps, led on; and what of the formula is known before.
    fn predict(&mut self) {
        self.guess.copy_from_slice(&self.differences[0]);
        self.lean.fill(0.0);
        for k in 1..=self.order {
            let share = gamma(k) / alpha(self.order);
            let sums = self.guess.iter_mut().zip(&mut self.lean);
            for ((guess, lean), d) in sums.zip(&self.differences[k]) {
                *guess += d;
                *lean += share * d;
            }
        }
        self.weigh();
    }

    /// Newton's method with slopes that may be old. Leaves what is added to the guess in `moved`;
    /// gives the number of tries, or nothing when it does not converge.
    fn correct(&mut self, time_s: f64) -> Option<usize> {
        let c = self.h / alpha(self.order);
        if self.factors_for != Some(c) && !self.factorise(c) {
            self.factors_for = None;
            return None;
        }
        let n = self.shape.unknowns;
        self.moved.fill(0.0);
        self.y.copy_from_slice(&self.guess);
        let mut before: Option<f64> = None;
        for tries in 1..=NEWTON_TRIES {
            self.rates(time_s);
            let known = self.dy.iter().zip(&self.lean).zip(&self.moved);
            for (r, ((dy, lean), moved)) in self.right.iter_mut().zip(known) {
                *r = c * dy - lean - moved;
            }
            self.right[n..].fill(0.0);
            let mut right = std::mem::take(&mut self.right);
            self.factors
                .solve(&self.shape.pattern, &mut right, &mut self.room);
            for (k, row, column) in &self.shape.sums {
                right[*row] += c * self.slopes[*k] * right[*column];
            }
            let size = self.norm(&right[..n]);
            let sums = self.y.iter_mut().zip(&mut self.moved);
            for ((y, moved), r) in sums.zip(&right) {
                *y += r;
                *moved += r;
            }
            self.right = right;
            if let Some(before) = before {
                let new = size / before;
                self.pace = Some(self.pace.map_or(new, |old| new.max(0.3 * old)));
            }
            let left = (NEWTON_TRIES - tries) as i32;
            match self.pace {
                _ if !size.is_finite() => return None,
                _ if size == 0.0 => return Some(tries),
                Some(p) if p < 1.0 && p / (1.0 - p) * size < self.newton => return Some(tries),
                Some(p) if p >= 1.0 || p.powi(left) / (1.0 - p) * size > self.newton => {
                    return None;
                }
                _ => before = Some(size),
            }
        }
        None
    }

    fn accept(&mut self) {
        let k = self.order;
        for i in 0..self.moved.len() {
            let moved = self.moved[i];
            self.differences[k + 2][i] = moved - self.differences[k + 1][i];
            self.differences[k + 1][i] = moved;
            for j in (0..=k).rev() {
                self.differences[j][i] += self.differences[j + 1][i];
            }
        }
        self.alike += 1;
    }

    /// The order and the length of the next step.
    fn choose(&mut self, safety: f64, error: f64) {
        if self.alike < self.order + 1 {
            return;
        }
        let k = self.order;
        let factor = |error: f64, order: usize| {
            if error > 0.0 {
                error.powf(-1.0 / (order as f64 + 1.0))
            } else {
                10.0
            }
        };
        let mut best = (factor(error, k), k);
        if k > 1 {
            let lower = error_share(k - 1) * self.norm(&self.differences[k]);
            let f = factor(lower, k - 1);
            if f > best.0 {
                best = (f, k - 1);
            }
        }
        if k < ORDERS {
            let higher = error_share(k + 1) * self.norm(&self.differences[k + 2]);
            let f = factor(higher, k + 1);
            if f > best.0 {
                best = (f, k + 1);
            }
        }
        self.order = best.1;
        self.rescale((safety * best.0).min(10.0));
    }

    /// Changes the length of the step: the same polynomial, differenced anew.
    fn rescale(&mut self, by: f64) {
        let k = self.order;
        let one = triangle(k, by);
        let unit = triangle(k, 1.0);
        // Both are taken at once: new differences = (one · unit)ᵀ old.
        for (i, into) in self.mixed.iter_mut().enumerate().take(k + 1) {
            into.fill(0.0);
            for (j, from) in self.differences.iter().enumerate().take(k + 1) {
                let share: f64 = (0..=k).map(|m| one[j][m] * unit[m][i]).sum();
                if share != 0.0 {
                    for (a, b) in into.iter_mut().zip(from) {
                        *a += share * b;
                    }
                }
            }
        }
        for (d, m) in self.differences.iter_mut().zip(&mut self.mixed).take(k + 1) {
            std::mem::swap(d, m);
        }
        self.h *= by;
        self.alike = 0;
        self.factors_for = None;
    }

    /// The unknowns at a time within the last step.
    pub fn between(&self, time_s: f64, y: &mut [f64]) {
        y.copy_from_slice(&self.differences[0]);
        let mut product = 1.0;
        for k in 0..self.order {
            let back = self.time_s - self.h * k as f64;
            product *= (time_s - back) / (self.h * (k + 1) as f64);
            for (y, d) in y.iter_mut().zip(&self.differences[k + 1]) {
                *y += product * d;
            }
        }
    }
}
