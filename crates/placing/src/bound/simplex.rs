//! Linear programmes with few rows: most value for what fits, by the simplex method with bounded
//! variables. Its multipliers alone are used, and any multipliers give a sound bound, so neither
//! rounding nor a stop too early can make the bound untrue.

/// Σ take·x ≤ room, with room ≥ 0.
#[derive(Debug, Clone)]
pub struct Row {
    /// What each variable takes.
    pub take: Vec<f64>,
    /// What there is.
    pub room: f64,
}

/// What was found.
#[derive(Debug, Clone)]
pub struct Found {
    /// The variables.
    pub x: Vec<f64>,
    /// A multiplier for each row, none negative.
    pub price: Vec<f64>,
}

/// Steps at most.
const STEPS: usize = 4000;
const TINY: f64 = 1e-9;

impl Found {
    /// What these multipliers prove: no x within bounds and rows is worth more.
    pub fn at_most(&self, value: &[f64], most: &[f64], rows: &[Row]) -> f64 {
        let rooms: f64 = rows.iter().zip(&self.price).map(|(r, p)| r.room * p).sum();
        let left = |j: usize| {
            let taken = rows.iter().zip(&self.price).map(|(r, p)| r.take[j] * p);
            value[j] - taken.sum::<f64>()
        };
        let over: f64 = (0..value.len())
            .map(left)
            .zip(most)
            .map(|(l, most)| l.max(0.0) * most)
            .sum();
        rooms + over
    }
}

/// Maximises Σ value·x over 0 ≤ x ≤ most within the rows.
pub fn maximise(value: &[f64], most: &[f64], rows: &[Row]) -> Found {
    let (n, m) = (value.len(), rows.len());
    let wide = n + m;
    // Tableau: rows of the basis, then the row of reduced worth.
    let mut t: Vec<Vec<f64>> = rows
        .iter()
        .enumerate()
        .map(|(i, r)| {
            let mut line = r.take.clone();
            line.extend((0..m).map(|k| f64::from(u8::from(k == i))));
            line
        })
        .collect();
    let mut worth: Vec<f64> = value.to_vec();
    worth.resize(wide, 0.0);
    let mut level: Vec<f64> = rows.iter().map(|r| r.room.max(0.0)).collect();
    let mut basis: Vec<usize> = (n..wide).collect();
    let mut in_basis: Vec<bool> = (0..wide).map(|j| j >= n).collect();
    let mut at_top = vec![false; wide];
    let cap = |j: usize| if j < n { most[j] } else { f64::INFINITY };
    for step in 0..STEPS {
        let gain = |j: usize| if at_top[j] { -worth[j] } else { worth[j] };
        let free = (0..wide).filter(|&j| !in_basis[j] && gain(j) > TINY && cap(j) > 0.0);
        // The steepest; late on the first, which cannot go round in circles.
        let enter = if step < STEPS / 2 {
            free.reduce(|a, b| if gain(b) > gain(a) { b } else { a })
        } else {
            free.into_iter().next()
        };
        let Some(j) = enter else { break };
        let sign = if at_top[j] { -1.0 } else { 1.0 };
        let (mut far, mut leave) = (cap(j), None);
        for i in 0..m {
            let a = sign * t[i][j];
            let room = if a > TINY {
                level[i] / a
            } else if a < -TINY {
                (cap(basis[i]) - level[i]) / -a
            } else {
                continue;
            };
            if room < far - 1e-12 || (room <= far && leave.is_none() && room < cap(j)) {
                (far, leave) = (room.max(0.0), Some(i));
            }
        }
        if !far.is_finite() {
            break;
        }
        for i in 0..m {
            level[i] -= sign * far * t[i][j];
        }
        let Some(i) = leave else {
            at_top[j] = !at_top[j];
            continue;
        };
        let out = basis[i];
        at_top[out] = t[i][j] * sign < 0.0;
        level[i] = if at_top[j] { cap(j) - far } else { far };
        at_top[j] = false;
        in_basis[out] = false;
        in_basis[j] = true;
        basis[i] = j;
        let pivot = t[i][j];
        t[i].iter_mut().for_each(|v| *v /= pivot);
        let line = std::mem::take(&mut t[i]);
        for (k, other) in t.iter_mut().enumerate() {
            if k != i {
                drop_by(other, &line, j);
            }
        }
        drop_by(&mut worth, &line, j);
        t[i] = line;
    }
    let mut x: Vec<f64> = (0..n)
        .map(|j| if at_top[j] { most[j] } else { 0.0 })
        .collect();
    for (i, &j) in basis.iter().enumerate() {
        if j < n {
            x[j] = level[i];
        }
    }
    Found {
        x,
        price: (n..wide).map(|j| (-worth[j]).max(0.0)).collect(),
    }
}

fn drop_by(other: &mut [f64], line: &[f64], j: usize) {
    let by = other[j];
    if by.abs() > 0.0 {
        for (v, l) in other.iter_mut().zip(line) {
            *v -= by * l;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn row(take: &[f64], room: f64) -> Row {
        Row {
            take: take.to_vec(),
            room,
        }
    }

    /// A textbook example (Dantzig's, as in Hillier and Lieberman, "Introduction to Operations
    /// Research": 3 x + 5 y with x ≤ 4, 2 y ≤ 12, 3 x + 2 y ≤ 18 is 36 at (2, 6)).
    #[test]
    fn solves_the_textbook_example() {
        let rows = [row(&[0.0, 2.0], 12.0), row(&[3.0, 2.0], 18.0)];
        let found = maximise(&[3.0, 5.0], &[4.0, 1e6], &rows);
        assert!(
            (found.x[0] - 2.0).abs() < 1e-9 && (found.x[1] - 6.0).abs() < 1e-9,
            "{found:?}"
        );
        assert!(
            (found.at_most(&[3.0, 5.0], &[4.0, 1e6], &rows) - 36.0).abs() < 1e-6,
            "{found:?}"
        );
    }

    proptest! {
        /// Weak duality closes: the multipliers prove what the variables reach.
        #[test]
        fn multipliers_prove_what_is_reached(
            value in prop::collection::vec(0.1f64..9.0, 12),
            take in prop::collection::vec(0.0f64..3.0, 60),
            room in prop::collection::vec(0.0f64..6.0, 5),
        ) {
            let rows: Vec<Row> = room.iter().zip(take.chunks(12)).map(|(r, t)| row(t, *r)).collect();
            let most = vec![1.0; 12];
            let found = maximise(&value, &most, &rows);
            let reached: f64 = found.x.iter().zip(&value).map(|(x, v)| x * v).sum();
            for r in &rows {
                let taken: f64 = r.take.iter().zip(&found.x).map(|(t, x)| t * x).sum();
                prop_assert!(taken <= r.room + 1e-7);
            }
            prop_assert!(found.x.iter().all(|x| (-1e-9..=1.0 + 1e-9).contains(x)));
            let proved = found.at_most(&value, &most, &rows);
            prop_assert!((proved - reached).abs() <= 1e-6 * proved.max(1.0), "{reached} of {proved}");
        }
    }
}
