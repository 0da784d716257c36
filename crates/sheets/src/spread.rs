//! Labels along a line that must not overlap.

/// Moves labels of (wanted middle, size) apart so that none overlap, each as near to where it
/// wants to be as its neighbours allow. Answers with the middles in the order given.
pub(crate) fn spread(wanted: &[(f64, f64)]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|&a, &b| wanted[a].0.total_cmp(&wanted[b].0));
    // Runs of labels that touch: members, and the mean of where their common start wants to be.
    let mut runs: Vec<(Vec<usize>, f64, f64)> = Vec::new();
    for i in order {
        let mut run = (vec![i], wanted[i].0 - wanted[i].1 / 2.0, wanted[i].1);
        while let Some(last) = runs.pop() {
            if last.1 + last.2 <= run.1 {
                runs.push(last);
                break;
            }
            run = joined(last, run);
        }
        runs.push(run);
    }
    let mut middles = vec![0.0; wanted.len()];
    for (members, start, _) in runs {
        let mut edge = start;
        for i in members {
            middles[i] = edge + wanted[i].1 / 2.0;
            edge += wanted[i].1;
        }
    }
    middles
}

/// The same between two edges. Labels that need more room than that run over the far edge, still apart.
pub(crate) fn spread_within(wanted: &[(f64, f64)], low: f64, high: f64) -> Vec<f64> {
    let mut middles = spread(wanted);
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|&a, &b| middles[a].total_cmp(&middles[b]));
    let mut edge = high;
    for &i in order.iter().rev() {
        middles[i] = middles[i].min(edge - wanted[i].1 / 2.0);
        edge = middles[i] - wanted[i].1 / 2.0;
    }
    let mut edge = low;
    for &i in &order {
        middles[i] = middles[i].max(edge + wanted[i].1 / 2.0);
        edge = middles[i] + wanted[i].1 / 2.0;
    }
    middles
}

/// Labels of one size in as many rows as they need between two edges: the row and middle of each.
pub(crate) fn in_rows(wanted: &[f64], size: f64, low: f64, high: f64) -> Vec<(usize, f64)> {
    let rows = rows(wanted.len(), size, low, high);
    let mut out = vec![(0, 0.0); wanted.len()];
    for row in 0..rows {
        let own: Vec<usize> = (row..wanted.len()).step_by(rows).collect();
        let sized: Vec<(f64, f64)> = own.iter().map(|&i| (wanted[i], size)).collect();
        for (i, middle) in own.iter().zip(spread_within(&sized, low, high)) {
            out[*i] = (row, middle);
        }
    }
    out
}

/// Rows that so many labels need; at least one.
pub(crate) fn rows(count: usize, size: f64, low: f64, high: f64) -> usize {
    let fit = ((high - low) / size).floor().max(1.0) as usize;
    count.div_ceil(fit).max(1)
}

type Run = (Vec<usize>, f64, f64);

fn joined(first: Run, second: Run) -> Run {
    let (a, b) = (first.0.len() as f64, second.0.len() as f64);
    let start = (a * first.1 + b * (second.1 - first.2)) / (a + b);
    let mut members = first.0;
    members.extend(second.0);
    (members, start, first.2 + second.2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn labels_with_room_stay() {
        assert_eq!(spread(&[(10.0, 4.0), (30.0, 4.0)]), [10.0, 30.0]);
        assert_eq!(spread(&[(10.0, 4.0), (10.0, 4.0)]), [8.0, 12.0]);
    }

    proptest! {
        #[test]
        fn no_two_overlap(wanted in proptest::collection::vec((0.0..200.0, 1.0..9.0), 0..12)) {
            let got = spread(&wanted);
            for i in 0..wanted.len() {
                for j in 0..i {
                    let room = (wanted[i].1 + wanted[j].1) / 2.0;
                    prop_assert!((got[i] - got[j]).abs() >= room - 1e-9);
                }
            }
        }

        #[test]
        fn rows_stay_between_the_edges(wanted in proptest::collection::vec(-50.0..250.0, 0..60), size in 2.0..9.0) {
            let (low, high) = (10.0, 100.0);
            let got = in_rows(&wanted, size, low, high);
            for (i, a) in got.iter().enumerate() {
                prop_assert!(a.1 - size / 2.0 >= low - 1e-9 && a.1 + size / 2.0 <= high + 1e-9);
                for b in &got[..i] {
                    prop_assert!(a.0 != b.0 || (a.1 - b.1).abs() >= size - 1e-9);
                }
            }
        }
    }
}
