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
    }
}
