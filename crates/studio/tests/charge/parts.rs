//! Parts sum to their whole.

use glost_model::Money;
use glost_studio::charge::split;
use proptest::prelude::*;

#[test]
fn the_hundredths_that_are_over_go_to_who_lost_most() {
    let cents = |amount, weights: &[f64]| -> Vec<i64> {
        split(Money::cents(amount), weights)
            .into_iter()
            .map(Money::to_cents)
            .collect()
    };
    assert_eq!(cents(100, &[1.0, 1.0, 1.0]), [34, 33, 33]);
    assert_eq!(cents(10, &[1.0, 3.0, 3.0]), [2, 4, 4]);
    assert_eq!(cents(-100, &[1.0, 1.0, 1.0]), [-34, -33, -33]);
    assert_eq!(cents(5, &[0.0, f64::NAN, -1.0]), [2, 2, 1]);
    assert_eq!(cents(7, &[f64::INFINITY, 1.0]), [0, 7]);
    assert_eq!(cents(5, &[]), Vec::<i64>::new());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn parts_sum_to_the_whole(
        amount in prop_oneof![any::<i64>().prop_filter("has a positive", |a| *a != i64::MIN), -5000..5000_i64],
        weights in prop::collection::vec(prop_oneof![0.0..1.0_f64, 0.0..1e12_f64, any::<f64>()], 1..40),
    ) {
        let parts = split(Money::cents(amount), &weights);
        prop_assert_eq!(parts.len(), weights.len());
        let sum: i128 = parts.iter().map(|p| i128::from(p.to_cents())).sum();
        prop_assert_eq!(sum, i128::from(amount));
        prop_assert!(parts.iter().all(|p| p.to_cents().signum() * amount.signum() >= 0));
    }

    /// Nobody is off by a whole hundredth, and who weighs more never pays less.
    #[test]
    fn parts_follow_their_weights(amount in 0..10_000_000_i64, weights in prop::collection::vec(0.01..100.0_f64, 1..40)) {
        let parts = split(Money::cents(amount), &weights);
        let whole: f64 = weights.iter().sum();
        for (part, weight) in parts.iter().zip(&weights) {
            let fair = amount as f64 * weight / whole;
            prop_assert!((part.to_cents() as f64 - fair).abs() < 1.001);
        }
        for (a, b) in weights.iter().zip(&parts) {
            for (c, d) in weights.iter().zip(&parts) {
                prop_assert!(a - c < 1e-9 || b >= d);
            }
        }
    }
}
