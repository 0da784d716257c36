//! What a count of chances can mean.

/// The largest chance at which so few of so many are still seen one time in ten: a bound that is above the truth nine
/// times in ten (C. J. Clopper, E. S. Pearson, Biometrika 26 (1934) 404, one side of it). 1 where nothing was tried.
pub fn at_most(seen: usize, of: usize) -> f64 {
    const RARE: f64 = 0.1;
    if seen >= of {
        return 1.0;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if no_more(seen, of, middle) > RARE {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// Chance of no more than `seen` of `of` at a chance of `p` each.
fn no_more(seen: usize, of: usize, p: f64) -> f64 {
    let (lp, lq) = (p.ln(), (-p).ln_1p());
    let (mut ways, mut sum) = (0.0f64, 0.0);
    for k in 0..=seen {
        if k > 0 {
            ways += ((of - k + 1) as f64 / k as f64).ln();
        }
        sum += (ways + k as f64 * lp + (of - k) as f64 * lq).exp();
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bounds_are_those_worked_out_by_hand() {
        // None: (1 - p)^n = 0.1.
        for n in [1, 10, 230, 300] {
            let by_hand = 1.0 - 0.1f64.powf(1.0 / n as f64);
            assert!((at_most(0, n) - by_hand).abs() < 1e-9, "{n}");
        }
        // One of two: 1 - p² = 0.1.
        assert!((at_most(1, 2) - 0.9f64.sqrt()).abs() < 1e-9);
        assert_eq!(at_most(0, 0).to_bits(), 1f64.to_bits());
        assert_eq!(at_most(3, 3).to_bits(), 1f64.to_bits());
        // Rarer than one in a hundred takes 230 firings without an alarm, and 388 with one.
        assert!(at_most(0, 230) < 0.01 && at_most(0, 229) > 0.01);
        assert!(at_most(1, 388) < 0.01 && at_most(1, 387) > 0.01);
    }

    #[test]
    fn more_tries_without_one_mean_less() {
        assert!(at_most(2, 100) < at_most(3, 100) && at_most(2, 200) < at_most(2, 100));
    }
}
