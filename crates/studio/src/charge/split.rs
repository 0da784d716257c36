//! An amount in parts that sum to it.

use glost_model::Money;

/// Steps in which weights are counted: fine enough for any cent of any bill.
const STEPS: f64 = (1_u64 << 40) as f64;

/// Deals an amount out by weights, to the hundredth, by largest remainder: each part is rounded
/// down, and the hundredths that are over go one each to the parts that lost most, the earlier of
/// equals first. Parts always sum to the amount. A weight that is no number above nothing counts as
/// nothing; when all do, all are alike. A negative amount is dealt out as the positive one.
pub fn split(amount: Money, weights: &[f64]) -> Vec<Money> {
    let most = weights.iter().copied().filter(|w| w.is_finite());
    let most = most.fold(0.0, f64::max);
    let steps = |w: &f64| {
        if w.is_finite() && *w > 0.0 {
            // Whole numbers from here on, so that nothing is lost.
            (w / most * STEPS).round() as i128
        } else {
            0
        }
    };
    let mut weights: Vec<i128> = weights.iter().map(steps).collect();
    if weights.iter().all(|w| *w == 0) {
        weights.fill(1);
    }
    let whole: i128 = weights.iter().sum();
    if whole == 0 {
        return Vec::new();
    }
    let sign = if amount < Money::cents(0) { -1 } else { 1 };
    let cents = i128::from(amount.to_cents()) * sign;
    let mut parts: Vec<i128> = weights.iter().map(|w| cents * w / whole).collect();
    let over = cents - parts.iter().sum::<i128>();
    let mut order: Vec<usize> = (0..weights.len()).collect();
    order.sort_by_key(|i| std::cmp::Reverse(cents * weights[*i] % whole));
    for i in order.into_iter().take(usize::try_from(over).unwrap_or(0)) {
        parts[i] += 1;
    }
    // Parts are smaller than the amount, which is an i64.
    parts
        .into_iter()
        .map(|p| Money::cents(i64::try_from(p * sign).unwrap_or(0)))
        .collect()
}
