//! What is known of a kiln: where it lies along each prior, how sure that is, and what goes with what.

use super::Prior;
use crate::kiln::KilnInput;

/// A normal law over some priors.
#[derive(Debug, Clone)]
pub struct Belief {
    priors: Vec<Prior>,
    mean: Vec<f64>,
    /// Lower triangle whose product with itself is the covariance.
    root: Vec<Vec<f64>>,
}

impl Belief {
    /// Nothing but the priors, each on its own.
    pub fn of(priors: &[Prior]) -> Self {
        let root = (0..priors.len()).map(|i| {
            let mut row = vec![0.0; i + 1];
            row[i] = priors[i].width;
            row
        });
        Self {
            mean: vec![0.0; priors.len()],
            root: root.collect(),
            priors: priors.to_vec(),
        }
    }

    /// A mean and covariance in the priors' units and order. `None` when sizes differ, a number is not finite, or the
    /// matrix is no covariance.
    pub fn new(priors: &[Prior], mean: &[f64], covariance: &[Vec<f64>]) -> Option<Self> {
        let n = priors.len();
        let sized = mean.len() == n && covariance.len() == n;
        if !sized || !mean.iter().all(|m| m.is_finite()) {
            return None;
        }
        Some(Self {
            priors: priors.to_vec(),
            mean: mean.to_vec(),
            root: root(covariance)?,
        })
    }

    /// How many things are not known.
    pub fn len(&self) -> usize {
        self.priors.len()
    }

    /// Nothing is in doubt.
    pub fn is_empty(&self) -> bool {
        self.priors.is_empty()
    }

    /// The priors that it is about.
    pub fn priors(&self) -> &[Prior] {
        &self.priors
    }

    /// The middle.
    pub fn mean(&self) -> &[f64] {
        &self.mean
    }

    /// The place so many standard deviations along each direction from the middle.
    pub fn at(&self, point: &[f64]) -> Vec<f64> {
        let rows = self.mean.iter().zip(&self.root);
        rows.map(|(m, row)| m + row.iter().zip(point).map(|(r, z)| r * z).sum::<f64>())
            .collect()
    }

    /// Moves a kiln along every prior.
    pub fn move_kiln(&self, kiln: &mut KilnInput, shifts: &[f64]) {
        for (prior, shift) in self.priors.iter().zip(shifts) {
            prior.move_kiln(kiln, *shift);
        }
    }
}

/// Cholesky's root of a matrix that may lack a direction.
fn root(matrix: &[Vec<f64>]) -> Option<Vec<Vec<f64>>> {
    let mut rows: Vec<Vec<f64>> = Vec::with_capacity(matrix.len());
    for (i, line) in matrix.iter().enumerate() {
        if line.len() != matrix.len() {
            return None;
        }
        let mut row: Vec<f64> = Vec::with_capacity(i + 1);
        for (k, value) in line.iter().enumerate().take(i + 1) {
            let before = rows.get(k).unwrap_or(&row);
            let known: f64 = row.iter().zip(before).take(k).map(|(a, b)| a * b).sum();
            let left = value - known;
            if k == i {
                let least = -1e-12 * value.abs();
                if !(left >= least) {
                    return None;
                }
                row.push(left.max(0.0).sqrt());
            } else {
                let own = before.get(k).copied().unwrap_or(0.0);
                row.push(if own > 0.0 { left / own } else { 0.0 });
            }
        }
        rows.push(row);
    }
    Some(rows)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::doubt::PRIORS;

    #[test]
    fn a_root_is_one() {
        let square = vec![
            vec![4.0, 2.0, 0.0],
            vec![2.0, 5.0, 1.0],
            vec![0.0, 1.0, 3.0],
        ];
        let root = root(&square).unwrap();
        for (i, line) in square.iter().enumerate() {
            for (k, value) in line.iter().enumerate() {
                let dot: f64 = root[i].iter().zip(&root[k]).map(|(a, b)| a * b).sum();
                assert!((dot - value).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn what_is_no_covariance_is_refused() {
        let two = &PRIORS[..2];
        let of = |mean: &[f64], rows: &[&[f64]]| {
            let rows: Vec<Vec<f64>> = rows.iter().map(|r| r.to_vec()).collect();
            Belief::new(two, mean, &rows).is_some()
        };
        assert!(of(&[0.0, 0.1], &[&[1.0, 0.5], &[0.5, 1.0]]));
        assert!(of(&[0.0, 0.1], &[&[1.0, 1.0], &[1.0, 1.0]]));
        assert!(!of(&[0.0, 0.1], &[&[1.0, 2.0], &[2.0, 1.0]]));
        assert!(!of(&[0.0, f64::NAN], &[&[1.0, 0.0], &[0.0, 1.0]]));
        assert!(!of(&[0.0, 0.1], &[&[1.0, 0.0], &[0.0, f64::NAN]]));
        assert!(!of(&[0.0], &[&[1.0]]));
    }
}
