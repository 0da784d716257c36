//! Heat-work gathered along a temperature curve.

mod bend;
mod clock;
#[cfg(test)]
mod properties;
mod reached;
#[cfg(test)]
mod tests;

use glost_model::cone::Cone;
use glost_model::{Span, TempDiff, Temperature};

use crate::family::{Column, Member, USUAL_C_PER_H, family};
pub use clock::Clock;
pub use reached::{Place, Reached};

/// A piece of curve that cannot be: time runs backwards, or a number is not finite.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "a step of a temperature curve needs a finite time, not negative, and finite temperatures above 0 K"
)]
pub struct NotACurve;

/// What one cone has received.
#[derive(Debug, Clone, Copy, Default)]
struct Gathered {
    /// Share of its heat-work.
    done: f64,
    /// The same, weighted with how cold it was (z of its law).
    cold: f64,
}

impl Gathered {
    /// The steady rate at which this cone would gather its heat-work about as cold as here, °C/h:
    /// colder by one z on the average is slower by a factor of e.
    fn alike_c_per_h(self, usual_z: f64) -> f64 {
        if self.done > 0.0 {
            let colder = self.cold / self.done - usual_z;
            USUAL_C_PER_H * (-colder).clamp(-9.0, 9.0).exp()
        } else {
            USUAL_C_PER_H
        }
    }
}

/// Fraction of every cone's heat-work received so far.
#[derive(Debug, Clone)]
pub struct HeatWork {
    column: Column,
    got: Vec<Gathered>,
}

impl Default for HeatWork {
    fn default() -> Self {
        Self::new()
    }
}

/// No piece of curve is taken in steps larger than this: over it the rate of the steepest cone, 022,
/// about doubles, which Simpson's rule takes to a thousandth.
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
            got: vec![Gathered::default(); family(column).len()],
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
        for (got, Member { law, .. }) in self.got.iter_mut().zip(family(self.column)) {
            // Simpson's rule, over halves of steps.
            let halves = 2 * steps as usize;
            for k in 0..=halves {
                let temp_k = a + (b - a) * k as f64 / (2.0 * steps);
                let weight = match k {
                    _ if k == 0 || k == halves => 1.0,
                    _ if k % 2 == 1 => 4.0,
                    _ => 2.0,
                };
                let piece = law.ln_rate(temp_k).exp() * weight / 6.0 * s / steps;
                got.done += piece;
                got.cold += piece * law.z(temp_k);
            }
        }
        Ok(())
    }

    /// What cones between others have received: shares that add up to 1 of what each of them has, in the logarithm,
    /// as cones go by it. Nothing when there are none or they are of several columns.
    pub(crate) fn mixed(all: &[(&Self, f64)]) -> Option<Self> {
        let column = all.first()?.0.column;
        if all.iter().any(|(w, _)| w.column != column) {
            return None;
        }
        // What has received nothing at all has received next to nothing.
        let done = |g: &Gathered| g.done.max(1e-300);
        let mixed = |i: usize| {
            let of = |what: &dyn Fn(&Gathered) -> f64| {
                let each = all
                    .iter()
                    .filter_map(|(w, s)| Some(what(w.got.get(i)?) * s));
                each.sum::<f64>()
            };
            let total = of(&|g| done(g).ln()).clamp(-690.0, 50.0).exp();
            Gathered {
                done: total,
                cold: total * of(&|g| g.cold / done(g)),
            }
        };
        Some(Self {
            column,
            got: (0..family(column).len()).map(mixed).collect(),
        })
    }

    fn find(&self, cone: Cone) -> Option<(&'static Member, f64)> {
        let mut all = family(self.column).iter().zip(&self.got);
        all.find(|(m, _)| m.cone == cone).map(|(m, g)| (m, g.done))
    }

    fn done(&self) -> Vec<f64> {
        self.got.iter().map(|g| g.done).collect()
    }

    /// Share of a cone's heat-work; 1 is down.
    pub fn fraction(&self, cone: Cone) -> Option<f64> {
        self.find(cone).map(|(_, d)| d)
    }

    /// Place on the ladder of the hottest cone that is just down (6.4 is four tenths from 6 to 7);
    /// `None` below cone 022.
    pub fn position(&self) -> Option<f64> {
        position(family(self.column), &self.done())
    }

    /// The cone reached, with the band in which it lies: cones are made to ±2 °C, and the laws miss
    /// their published end points by a little.
    pub fn reached(&self) -> Reached {
        self.reached_by(TempDiff::k(0.0))
    }

    /// The same for a curve from a sensor that is off by this standard deviation.
    pub fn reached_by(&self, sensor: TempDiff) -> Reached {
        Reached {
            position: self.place(0.0, sensor),
            low: self.place(-2.0, sensor),
            high: self.place(2.0, sensor),
        }
    }

    /// Standard deviation of [`Self::position`], in decimals of a cone: how cones are made, how well
    /// the laws are known for a curve as slow as this, and the sensor's own standard deviation.
    /// `None` where no decimal can be read: below cone 022 and from cone 14.
    pub fn deviation(&self, sensor: TempDiff) -> Option<f64> {
        let at = |by: f64| match self.place(by, sensor) {
            Place::At(p) => Some(p),
            Place::Below | Place::Top => None,
        };
        let here = at(0.0)?;
        // Half the way between one deviation softer and one stiffer; one way at the ladder's ends.
        match (at(-1.0), at(1.0)) {
            (Some(low), Some(high)) => Some((high - low) / 2.0),
            (Some(low), None) => Some(here - low),
            (None, Some(high)) => Some(high - here),
            (None, None) => None,
        }
    }

    /// The reading if every cone were down by so many standard deviations earlier.
    fn place(&self, earlier: f64, sensor: TempDiff) -> Place {
        let members = family(self.column);
        let by_k = earlier * self.unsure_k().hypot(sensor.to_k());
        let shifted = |(m, g): (&Member, &Gathered)| g.done * (by_k * steepness(m)).exp();
        let done: Vec<f64> = members.iter().zip(&self.got).map(shifted).collect();
        let top = done.last().is_some_and(|d| *d > 1.0);
        Place::of(position(members, &done), top)
    }

    /// Standard deviation of the cones about the reading, for a curve as slow as this, K.
    fn unsure_k(&self) -> f64 {
        let of = |(m, g): (&Member, &Gathered)| (m.cone, m.deviation_k(g.alike_c_per_h(m.usual_z)));
        let all = || family(self.column).iter().zip(&self.got).map(of);
        let first = all().next().map_or(0.0, |(_, k)| k);
        let Some(here) = self.position() else {
            return first;
        };
        let below = all().rfind(|(c, _)| c.position() <= here);
        let above = all().find(|(c, _)| c.position() > here);
        match (below, above) {
            (Some((c, a)), Some((d, b))) => {
                let share = (here - c.position()) / (d.position() - c.position());
                a + share * (b - a)
            }
            (Some((_, k)), None) | (None, Some((_, k))) => k,
            (None, None) => first,
        }
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

/// What a K is worth to a cone near its end point: d ln k / dT.
fn steepness(member: &Member) -> f64 {
    member.law.steepness(member.law.usual_k())
}

/// See [`HeatWork::position`]. The decimal goes by how far past the end of the cone below and how far
/// short of that of the cone above the same heat-work is at a steady rate, so that it is linear in
/// end points. After a spike or a very slow firing a cone can be nearer to down than a cooler
/// one; the cooler one then counts as no less done.
fn position(members: &[Member], done: &[f64]) -> Option<f64> {
    let down = done.iter().rposition(|d| *d >= 1.0)?;
    let below = members.get(down)?;
    let here = below.cone.position();
    let Some(next) = members.get(down + 1) else {
        return Some(here);
    };
    let past_k = done.get(down)?.ln() / steepness(below);
    let hotter = members.iter().zip(done).skip(down + 1);
    let short_k = hotter
        .map(|(m, d)| -d.max(1e-300).ln() / steepness(m))
        .fold(f64::INFINITY, f64::min);
    let share = (past_k / (past_k + short_k)).clamp(0.0, 1.0);
    Some(here + (next.cone.position() - here) * share)
}
