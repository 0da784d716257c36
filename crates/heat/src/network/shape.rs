//! Which unknowns of a system act on which, worked out once for any number of integrations.

use super::integrate::{NotIntegrated, System};
use super::sparse::Pattern;

/// Which unknowns act on which.
#[derive(Debug, Clone)]
pub struct Shape {
    pub(super) unknowns: usize,
    /// How many entries the system hands over.
    pub(super) entries: usize,
    pub(super) pattern: Pattern,
    /// Entries of unknowns that act on nothing, sums over time, which need no equations: number of the
    /// entry, row and column.
    pub(super) sums: Vec<(usize, usize, usize)>,
    /// For each other entry that the system hands over: its number, its place among the values of the
    /// matrix, and whether it counts by the step (a rate) or by 1 (what has no inertia).
    pub(super) slots: Vec<(usize, usize, bool)>,
    /// Where the ones of the matrix are.
    pub(super) diagonal: Vec<usize>,
}

impl Shape {
    /// Of a system.
    ///
    /// # Errors
    /// [`NotIntegrated::Unknowns`].
    pub fn of<S: System>(system: &S, time_s: f64, y: &[f64]) -> Result<Self, NotIntegrated> {
        let (n, all) = (system.len(), system.len() + system.hidden());
        if y.len() != n {
            return Err(NotIntegrated::Unknowns);
        }
        let mut places = Vec::new();
        let mut scratch = vec![0.0; system.scratch()];
        system.jacobian(time_s, y, &mut scratch, &mut |i, j, _| places.push((i, j)));
        if places.iter().any(|(i, j)| *i >= all || *j >= all) {
            return Err(NotIntegrated::Unknowns);
        }
        let mut acts = vec![false; all];
        for (_, j) in &places {
            acts[*j] = true;
        }
        acts[n..].fill(true);
        let felt = |(i, _): &(usize, usize)| acts[*i];
        let pattern = Pattern::new(all, places.iter().copied().filter(felt));
        let numbered = || places.iter().enumerate();
        let slot = |(k, p): (usize, &(usize, usize))| Some((k, pattern.slot(p.0, p.1)?, p.0 < n));
        Ok(Self {
            unknowns: n,
            entries: places.len(),
            slots: numbered().filter(|e| felt(e.1)).filter_map(slot).collect(),
            sums: numbered()
                .filter(|e| !felt(e.1))
                .map(|(k, (i, j))| (k, *i, *j))
                .collect(),
            diagonal: (0..n).filter_map(|i| pattern.slot(i, i)).collect(),
            pattern,
        })
    }
}
