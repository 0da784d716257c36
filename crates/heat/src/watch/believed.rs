//! What is believed of a kiln before it is fired.

use super::NotWatched;
use super::normal::{Square, diagonal, root};
use crate::doubt::{PRIORS, Prior};
use crate::kiln::KilnInput;

/// How far a kiln may be from what its description says, by the ids of [`PRIORS`] and in the unit of each.
#[derive(Debug, Clone, PartialEq)]
pub struct Believed {
    /// Ids of [`PRIORS`], in any order.
    pub ids: Vec<String>,
    /// How far off each most likely is.
    pub mean: Vec<f64>,
    /// How sure that is: variances on the diagonal.
    pub covariance: Vec<Vec<f64>>,
}

impl Default for Believed {
    /// Of a kiln of which nothing was learnt yet.
    fn default() -> Self {
        let variances = PRIORS.map(|p| p.width * p.width);
        Self {
            ids: PRIORS.map(|p| p.id.to_owned()).into(),
            mean: vec![0.0; PRIORS.len()],
            covariance: diagonal(&variances),
        }
    }
}

/// The same, looked up and in order.
#[derive(Debug, Clone)]
pub(super) struct Belief {
    pub priors: Vec<Prior>,
    pub mean: Vec<f64>,
    pub covariance: Square,
}

/// A standard deviation below this share of the prior's is taken for this share: nothing is known so well, and the
/// kiln may change from one firing to the next.
const LEAST: f64 = 0.05;

impl Belief {
    /// # Errors
    /// [`NotWatched::Belief`].
    pub fn of(believed: &Believed) -> Result<Self, NotWatched> {
        let n = believed.ids.len();
        let find = |id: &String| {
            let known = PRIORS.into_iter().find(|p| p.id == id);
            known.ok_or_else(|| {
                NotWatched::Belief(format!("`{id}` is nothing that kilns differ by"))
            })
        };
        let priors: Vec<Prior> = believed.ids.iter().map(find).collect::<Result<_, _>>()?;
        let square =
            believed.covariance.len() == n && believed.covariance.iter().all(|row| row.len() == n);
        if believed.mean.len() != n || !square {
            return Err(NotWatched::Belief(format!(
                "{n} ids want {n} means and {n} times {n} covariances"
            )));
        }
        let mut covariance = believed.covariance.clone();
        for (i, p) in priors.iter().enumerate() {
            covariance[i][i] = covariance[i][i].max((LEAST * p.width).powi(2));
        }
        let finite = believed.mean.iter().all(|m| m.is_finite());
        if !finite || root(&covariance).is_none() {
            return Err(NotWatched::Belief(
                "means must be finite and covariances positive".into(),
            ));
        }
        Ok(Self {
            priors,
            mean: believed.mean.clone(),
            covariance,
        })
    }

    /// Where the power of the elements is among them.
    pub fn power(&self) -> Option<usize> {
        self.priors.iter().position(|p| p.id == "power")
    }

    /// The standard deviation of each.
    pub fn widths(&self) -> Vec<f64> {
        let each = self.covariance.iter().enumerate();
        each.map(|(i, row)| row[i].sqrt()).collect()
    }

    /// A kiln that is so far off.
    pub fn kiln(&self, kiln: &KilnInput, by: &[f64]) -> KilnInput {
        let mut moved = kiln.clone();
        for (prior, by) in self.priors.iter().zip(by) {
            prior.shift(&mut moved, *by);
        }
        moved
    }
}
