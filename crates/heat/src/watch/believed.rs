//! What is believed of a kiln before it is fired, as the watch needs it.

use super::NotWatched;
use super::normal::{Square, root};
use crate::doubt;
use crate::kiln::KilnInput;

/// A belief with its covariance.
#[derive(Debug, Clone)]
pub struct Belief {
    of: doubt::Belief,
    pub covariance: Square,
}

/// A standard deviation below this share of the prior's is taken for this share: nothing is known so well, and the
/// kiln may change from one firing to the next.
const LEAST: f64 = 0.05;

impl Belief {
    /// # Errors
    /// [`NotWatched::Belief`].
    pub fn of(of: &doubt::Belief) -> Result<Self, NotWatched> {
        let n = of.len();
        let unit = |i: usize| {
            let point: Vec<f64> = (0..n).map(|k| f64::from(u8::from(k == i))).collect();
            let moved = of.at(&point);
            let off = moved.iter().zip(of.mean()).map(|(a, b)| a - b);
            off.collect::<Vec<f64>>()
        };
        let columns: Vec<Vec<f64>> = (0..n).map(unit).collect();
        let mut covariance = vec![vec![0.0; n]; n];
        for column in &columns {
            for (row, a) in covariance.iter_mut().zip(column) {
                for (c, b) in row.iter_mut().zip(column) {
                    *c += a * b;
                }
            }
        }
        for (i, p) in of.priors().iter().enumerate() {
            covariance[i][i] += (LEAST * p.width).powi(2);
        }
        if n == 0 || root(&covariance).is_none() {
            return Err(NotWatched::Belief);
        }
        Ok(Self {
            of: of.clone(),
            covariance,
        })
    }

    /// The middle.
    pub fn mean(&self) -> &[f64] {
        self.of.mean()
    }

    /// Where the power of the elements is among them.
    pub fn power(&self) -> Option<usize> {
        self.of.priors().iter().position(|p| p.id == "power")
    }

    /// Firings told how its lining conducts: what it takes is known well enough to miss less of it.
    pub fn known(&self) -> bool {
        const SHARE: f64 = 0.6;
        let mut all = self.of.priors().iter().zip(self.widths());
        all.any(|(p, width)| p.id == "lining" && width < SHARE * p.width)
    }

    /// The standard deviation of each.
    pub fn widths(&self) -> Vec<f64> {
        let each = self.covariance.iter().enumerate();
        each.map(|(i, row)| row[i].sqrt()).collect()
    }

    /// A kiln that is so far off.
    pub fn kiln(&self, kiln: &KilnInput, by: &[f64]) -> KilnInput {
        let mut moved = kiln.clone();
        self.of.move_kiln(&mut moved, by);
        moved
    }
}
