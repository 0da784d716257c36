//! Heat-work gathered along a temperature curve.

mod clock;
mod reached;
#[cfg(test)]
mod tests;

use glost_model::cone::Cone;
use glost_model::{Span, Temperature};

use crate::family::{Column, Member, family};
pub use clock::Clock;
pub use reached::{Place, Reached};

/// A piece of curve that cannot be: time runs backwards, or a number is not finite.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "a step of a temperature curve needs a finite time, not negative, and finite temperatures above 0 K"
)]
pub struct NotACurve;

/// Fraction of every cone's heat-work received so far.
#[derive(Debug, Clone)]
pub struct HeatWork {
    column: Column,
    done: Vec<f64>,
}

impl Default for HeatWork {
    fn default() -> Self {
        Self::new()
    }
}

/// No piece of curve is taken in steps larger than this: over it the rate grows by under a third.
const STEP_K: f64 = 4.0;

impl HeatWork {
    /// Nothing received, self-supporting cones.
    pub fn new() -> Self {
        Self::of(Column::SelfSupporting)
    }

    /// Nothing received, cones of this column.
    pub fn of(column: Column) -> Self {
        Self {
            column,
            done: vec![0.0; family(column).len()],
        }
    }

    /// The kind of cone that is worked out.
    pub const fn column(&self) -> Column {
        self.column
    }

    /// Adds a straight piece of curve that lasts `dt`.
    ///
    /// # Errors
    /// [`NotACurve`]; nothing is added then.
    pub fn push(&mut self, dt: Span, from: Temperature, to: Temperature) -> Result<(), NotACurve> {
        let (a, b, s) = (from.to_k(), to.to_k(), dt.to_s());
        if !(a.is_finite() && b.is_finite() && a > 0.0 && b > 0.0 && s.is_finite() && s >= 0.0) {
            return Err(NotACurve);
        }
        let steps = ((b - a).abs() / STEP_K).ceil().clamp(1.0, 2000.0);
        for (sum, Member { law, .. }) in self.done.iter_mut().zip(family(self.column)) {
            for i in 0..steps as usize {
                let at = |share: f64| law.ln_rate(a + (b - a) * (i as f64 + share) / steps).exp();
                // Simpson's rule.
                *sum += s / steps * (at(0.0) + 4.0 * at(0.5) + at(1.0)) / 6.0;
            }
        }
        Ok(())
    }

    fn find(&self, cone: Cone) -> Option<(&'static Member, f64)> {
        let mut all = family(self.column).iter().zip(&self.done);
        all.find(|(m, _)| m.cone == cone).map(|(m, d)| (m, *d))
    }

    /// Share of a cone's heat-work; 1 is down.
    pub fn fraction(&self, cone: Cone) -> Option<f64> {
        self.find(cone).map(|(_, d)| d)
    }

    /// Place on the ladder of the hottest cone that is just down (6.4 is four tenths from 6 to 7);
    /// `None` below cone 022.
    pub fn position(&self) -> Option<f64> {
        position(family(self.column), &self.done)
    }

    /// The cone reached, with the band in which it lies: cones are made to ±2 °C, and the laws miss
    /// their published end points by a little.
    pub fn reached(&self) -> Reached {
        Reached {
            position: self.place(0.0),
            low: self.place(-1.0),
            high: self.place(1.0),
        }
    }

    /// The reading if every cone were down by this share of its doubt earlier.
    fn place(&self, earlier: f64) -> Place {
        let members = family(self.column);
        let done: Vec<f64> = members
            .iter()
            .zip(&self.done)
            .map(|(m, d)| d * (earlier * m.doubt_k * m.law.e_k / m.end_k.powi(2)).exp())
            .collect();
        let top = done.last().is_some_and(|d| *d > 1.0);
        Place::of(position(members, &done), top)
    }

    /// Where the tip of a cone points by now.
    pub fn bend_clock(&self, cone: Cone) -> Option<Clock> {
        self.find(cone).map(|(m, done)| Clock::of(m, done))
    }

    /// Hold still needed at a temperature to bring a cone down; zero when it is down already.
    /// `None` for a temperature that is not finite and above 0 K.
    pub fn hold_needed(&self, cone: Cone, at: Temperature) -> Option<Span> {
        let (member, done) = self.find(cone)?;
        if !(at.to_k().is_finite() && at.to_k() > 0.0) {
            return None;
        }
        let per_s = member.law.ln_rate(at.to_k()).exp();
        Some(Span::s(((1.0 - done) / per_s).max(0.0)))
    }
}

/// See [`HeatWork::position`]. After a spike or a very slow firing a cone can be nearer to down
/// than a cooler one; the cooler one then counts as no less done.
fn position(members: &[Member], done: &[f64]) -> Option<f64> {
    let down = done.iter().rposition(|d| *d >= 1.0)?;
    let here = members.get(down)?.cone.position();
    let Some(next) = members.get(down + 1) else {
        return Some(here);
    };
    let nearest = done.iter().skip(down + 1).copied().fold(1e-300, f64::max);
    let (a, b) = (done.get(down)?.ln(), nearest.ln());
    Some(here + (next.cone.position() - here) * (a / (a - b)).clamp(0.0, 1.0))
}
