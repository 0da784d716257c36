//! Heat-work gathered along a temperature curve.

use glost_model::cone::Cone;
use glost_model::{Span, Temperature};

use crate::family::family;

/// A piece of curve that cannot be: time runs backwards, or a number is not finite.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "a step of a temperature curve needs a finite time, not negative, and finite temperatures above 0 K"
)]
pub struct NotACurve;

/// Fraction of every cone's heat-work received so far.
#[derive(Debug, Clone)]
pub struct HeatWork {
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
    /// Nothing received.
    pub fn new() -> Self {
        Self {
            done: vec![0.0; family().len()],
        }
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
        for (sum, (_, law)) in self.done.iter_mut().zip(family()) {
            for i in 0..steps as usize {
                let at = |share: f64| law.ln_rate(a + (b - a) * (i as f64 + share) / steps).exp();
                // Simpson's rule.
                *sum += s / steps * (at(0.0) + 4.0 * at(0.5) + at(1.0)) / 6.0;
            }
        }
        Ok(())
    }

    /// Share of a cone's heat-work; 1 is down. `None` for a cone without a law.
    pub fn fraction(&self, cone: Cone) -> Option<f64> {
        family()
            .iter()
            .zip(&self.done)
            .find(|((c, _), _)| *c == cone)
            .map(|(_, d)| *d)
    }

    /// Place on the ladder of the cone that is just down (6.4 is four tenths from 6 to 7); `None`
    /// below cone 022.
    pub fn position(&self) -> Option<f64> {
        let down = self.done.iter().rposition(|d| *d >= 1.0)?;
        let here = family()[down].0.position();
        let Some((next, _)) = family().get(down + 1) else {
            return Some(here);
        };
        let (a, b) = (self.done[down].ln(), self.done[down + 1].max(1e-300).ln());
        Some(here + (next.position() - here) * (a / (a - b)).clamp(0.0, 1.0))
    }

    /// Hold still needed at a temperature to bring a cone down; zero when it is down already.
    /// `None` for a cone without a law, and for a temperature that is not finite and above 0 K.
    pub fn hold_needed(&self, cone: Cone, at: Temperature) -> Option<Span> {
        let (_, law) = family().iter().find(|(c, _)| *c == cone)?;
        if !(at.to_k().is_finite() && at.to_k() > 0.0) {
            return None;
        }
        let left = 1.0 - self.fraction(cone)?;
        Some(Span::s((left / law.ln_rate(at.to_k()).exp()).max(0.0)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use glost_model::Rate;
    use proptest::prelude::*;

    fn fired(cone: &str) -> (HeatWork, Temperature) {
        let end = crate::end_point(Cone::parse(cone).unwrap(), Rate::c_per_h(60.0)).unwrap();
        let mut w = HeatWork::new();
        let start = Temperature::c(20.0);
        w.push((end - start) / Rate::c_per_h(60.0), start, end)
            .unwrap();
        (w, end)
    }

    #[test]
    fn a_firing_to_the_end_point_reads_its_cone() {
        for c in ["018", "06", "04", "5", "6", "10"] {
            let (w, _) = fired(c);
            assert!(
                (w.position().unwrap() - Cone::parse(c).unwrap().position()).abs() < 0.02,
                "{c}: {:?}",
                w.position()
            );
        }
    }

    /// Common practice, no source: cone 5 with a hold of 30 min lands between 5½ and 6.
    #[test]
    fn half_an_hour_at_cone_five_is_less_than_six() {
        let (mut w, end) = fired("5");
        w.push(Span::minutes(30.0), end, end).unwrap();
        let p = w.position().unwrap();
        assert!((5.4..6.0).contains(&p), "{p}");
    }

    /// The chart's text: a soak of 1 to 2 h brings down the next cone. A band: 5 to 6 takes 78 min.
    #[test]
    fn the_next_cone_takes_about_an_hour() {
        let (w, end) = fired("5");
        let h = w
            .hold_needed(Cone::parse("6").unwrap(), end)
            .unwrap()
            .to_minutes();
        assert!((45.0..120.0).contains(&h), "{h}");
    }

    proptest! {
        #[test]
        fn splitting_a_curve_changes_nothing(a in 500.0f64..1300.0, b in 500.0f64..1300.0, share in 0.01f64..0.99, h in 0.1f64..9.0) {
            let (mut whole, mut parts) = (HeatWork::new(), HeatWork::new());
            let mid = Temperature::c(a + (b - a) * share);
            whole.push(Span::h(h), Temperature::c(a), Temperature::c(b)).unwrap();
            parts.push(Span::h(h * share), Temperature::c(a), mid).unwrap();
            parts.push(Span::h(h * (1.0 - share)), mid, Temperature::c(b)).unwrap();
            let six = Cone::parse("6").unwrap();
            let (x, y) = (whole.fraction(six).unwrap(), parts.fraction(six).unwrap());
            prop_assert!((x - y).abs() <= 1e-3 * x.max(y));
        }
    }
}
