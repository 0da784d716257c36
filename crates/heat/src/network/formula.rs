//! Numbers of the numerical differentiation formulas, by order.

/// The highest order.
pub const ORDERS: usize = 5;
/// κ of each order: how far the formula leans from backward differentiation.
const KAPPA: [f64; ORDERS + 1] = [0.0, -0.1850, -1.0 / 9.0, -0.0823, -0.0415, 0.0];

/// γ: sums of 1/k.
pub fn gamma(order: usize) -> f64 {
    (1..=order).map(|k| 1.0 / k as f64).sum()
}

pub fn alpha(order: usize) -> f64 {
    (1.0 - KAPPA[order]) * gamma(order)
}

pub fn error_share(order: usize) -> f64 {
    KAPPA[order] * gamma(order) + 1.0 / (order as f64 + 1.0)
}

/// Products that turn differences of one step length into those of another.
pub fn triangle(order: usize, by: f64) -> [[f64; ORDERS + 1]; ORDERS + 1] {
    let mut r = [[0.0; ORDERS + 1]; ORDERS + 1];
    r[0] = [1.0; ORDERS + 1];
    for i in 1..=order {
        let above = r[i - 1];
        for (j, (v, above)) in r[i]
            .iter_mut()
            .zip(above)
            .enumerate()
            .take(order + 1)
            .skip(1)
        {
            *v = above * ((i as f64 - 1.0) - by * j as f64) / i as f64;
        }
    }
    r
}
