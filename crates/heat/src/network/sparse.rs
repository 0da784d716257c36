//! Sparse linear equations whose pattern never changes: order and fill are worked out once, a
//! factorisation then only runs over numbers.
//!
//! There is no pivoting. Heat passes from hot to cold, so the matrices of implicit steps have a
//! diagonal that outweighs what stands beside it; a controller adds negative feedback, which only
//! adds to the diagonal during elimination.

/// Where a matrix and its factors have entries, in the order of elimination.
#[derive(Debug, Clone)]
pub struct Pattern {
    /// Unknown that is eliminated at each step.
    order: Vec<usize>,
    /// Step at which each unknown is eliminated.
    step_of: Vec<usize>,
    /// Where each row begins among `columns`; one more at the end.
    rows: Vec<usize>,
    /// Columns of the entries of each row, rising.
    columns: Vec<usize>,
    /// Where each row's diagonal is.
    diagonals: Vec<usize>,
}

impl Pattern {
    /// From the places (row, column) of a square matrix with this many rows. Places outside it are left out.
    pub fn new(n: usize, places: impl Iterator<Item = (usize, usize)>) -> Self {
        let mut beside = vec![vec![false; n]; n];
        for (i, j) in places.filter(|(i, j)| *i < n && *j < n && i != j) {
            beside[i][j] = true;
            beside[j][i] = true;
        }
        let mut degree: Vec<usize> = beside.iter().map(|r| ones(r).count()).collect();
        let mut left = vec![true; n];
        let mut step_of = vec![0; n];
        let mut order = Vec::with_capacity(n);
        // The unknown with the fewest neighbours goes first; its neighbours become each other's.
        while let Some(next) = (0..n).filter(|i| left[*i]).min_by_key(|i| degree[*i]) {
            left[next] = false;
            step_of[next] = order.len();
            order.push(next);
            let around: Vec<usize> = ones(&beside[next]).filter(|i| left[*i]).collect();
            for a in &around {
                for b in around.iter().filter(|b| *b != a) {
                    beside[*a][*b] = true;
                }
                degree[*a] = ones(&beside[*a]).filter(|i| left[*i]).count();
            }
        }
        let (mut rows, mut columns, mut diagonals) = (vec![0], Vec::new(), Vec::new());
        for (step, unknown) in order.iter().enumerate() {
            let mut row: Vec<usize> = ones(&beside[*unknown]).map(|j| step_of[j]).collect();
            row.push(step);
            row.sort_unstable();
            diagonals.push(columns.len() + row.partition_point(|c| *c < step));
            columns.extend(row);
            rows.push(columns.len());
        }
        Self {
            order,
            step_of,
            rows,
            columns,
            diagonals,
        }
    }

    /// Rows of the matrix.
    pub fn len(&self) -> usize {
        self.order.len()
    }

    /// Entries of the factors.
    pub fn entries(&self) -> usize {
        self.columns.len()
    }

    /// Where the values of a [`Factors`] have this entry; nothing when the pattern has not.
    pub fn slot(&self, row: usize, column: usize) -> Option<usize> {
        let (i, j) = (*self.step_of.get(row)?, *self.step_of.get(column)?);
        let from = self.rows[i];
        let found = self.columns[from..self.rows[i + 1]].binary_search(&j);
        found.ok().map(|k| from + k)
    }
}

fn ones(row: &[bool]) -> impl Iterator<Item = usize> {
    row.iter().enumerate().filter(|(_, b)| **b).map(|(i, _)| i)
}

/// A matrix, or its factors L and U once they have been worked out.
#[derive(Debug, Clone)]
pub struct Factors {
    /// Entries by [`Pattern::slot`]. Fill them in, then call [`Factors::factorise`].
    pub values: Vec<f64>,
    inverse: Vec<f64>,
    work: Vec<f64>,
}

impl Factors {
    /// Zeros.
    pub fn new(pattern: &Pattern) -> Self {
        Self {
            values: vec![0.0; pattern.entries()],
            inverse: vec![0.0; pattern.len()],
            work: vec![0.0; pattern.len()],
        }
    }

    /// Replaces the values by the factors. False when a diagonal vanishes or is not finite.
    pub fn factorise(&mut self, p: &Pattern) -> bool {
        let Self {
            values,
            inverse,
            work,
        } = self;
        for i in 0..p.len() {
            let (from, diagonal, to) = (p.rows[i], p.diagonals[i], p.rows[i + 1]);
            let (above, here) = values.split_at_mut(from);
            let here = &mut here[..to - from];
            let columns = &p.columns[from..to];
            for (c, v) in columns.iter().zip(here.iter()) {
                work[*c] = *v;
            }
            for k in &columns[..diagonal - from] {
                let factor = work[*k] * inverse[*k];
                work[*k] = factor;
                let tail = p.diagonals[*k] + 1..p.rows[*k + 1];
                for (c, u) in p.columns[tail.clone()].iter().zip(&above[tail]) {
                    work[*c] -= factor * u;
                }
            }
            for (c, v) in columns.iter().zip(here.iter_mut()) {
                *v = work[*c];
            }
            let d = here[diagonal - from];
            if !d.is_finite() || d.abs() < f64::MIN_POSITIVE {
                return false;
            }
            inverse[i] = 1.0 / d;
        }
        true
    }

    /// Solves in place, with memory for as many numbers to work in.
    pub fn solve(&self, p: &Pattern, x: &mut [f64], work: &mut [f64]) {
        let Self {
            values, inverse, ..
        } = self;
        let work = &mut work[..p.len()];
        for (i, unknown) in p.order.iter().enumerate() {
            let before = p.rows[i]..p.diagonals[i];
            let known = p.columns[before.clone()].iter().zip(&values[before]);
            let sum: f64 = known.map(|(c, v)| v * work[*c]).sum();
            work[i] = x[*unknown] - sum;
        }
        for i in (0..p.len()).rev() {
            let after = p.diagonals[i] + 1..p.rows[i + 1];
            let known = p.columns[after.clone()].iter().zip(&values[after]);
            let sum: f64 = known.map(|(c, v)| v * work[*c]).sum();
            work[i] = (work[i] - sum) * inverse[i];
            x[p.order[i]] = work[i];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// What is multiplied back is what was asked for.
        #[test]
        fn solves(
            n in 1usize..30,
            entries in proptest::collection::vec((0usize..30, 0usize..30, -1.0f64..1.0), 0..120),
            right in proptest::collection::vec(-1.0f64..1.0, 30),
        ) {
            let entries: Vec<_> = entries.into_iter().filter(|(i, j, _)| *i < n && *j < n).collect();
            let p = Pattern::new(n, entries.iter().map(|(i, j, _)| (*i, *j)));
            let mut f = Factors::new(&p);
            let mut dense = vec![vec![0.0; n]; n];
            let diagonal = (0..n).map(|i| (i, i, 40.0));
            for (i, j, v) in entries.into_iter().chain(diagonal) {
                f.values[p.slot(i, j).unwrap()] += v;
                dense[i][j] += v;
            }
            prop_assert!(f.factorise(&p));
            let mut x = right[..n].to_vec();
            f.solve(&p, &mut x, &mut vec![0.0; n]);
            for (row, want) in dense.iter().zip(&right) {
                let got: f64 = row.iter().zip(&x).map(|(a, b)| a * b).sum();
                prop_assert!((got - want).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn a_chain_fills_nothing() {
        let p = Pattern::new(50, (0..49).map(|i| (i, i + 1)));
        assert_eq!(p.entries(), 50 + 2 * 49);
        assert_eq!(p.slot(0, 2), None);
        let mut f = Factors::new(&p);
        assert!(!f.factorise(&p), "a matrix of zeros");
    }
}
