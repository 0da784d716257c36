//! The whole ladder from the cones that were fitted: halves between them, cone 14 beyond.

use glost_model::cone::Cone;

use super::chart::Column;
use super::fit::Found;
use super::{Member, RATES_C_PER_H};

/// Standard deviation of a cone about the reference cone, K: the ±2 °C to which cones are made
/// (T. Frederich, 2003), read as two of them.
const MADE_K: f64 = 1.0;
/// Steps of the ladder whose mean leads on to cone 14.
const STEPS: usize = 5;

/// What the fit thinks of its own deviations is too little by this: it takes the family to be
/// smoother than it is made. Cells at 15 °C/h, hidden in turn, are missed by so many of them.
const WIDER: f64 = 2.6;

/// Every cone of a column, coolest first.
pub(super) fn whole(found: &[Found], column: Column) -> Vec<Member> {
    let member = |f: &Found| {
        let deviation_k = f.deviation_k(column).map(|fit| MADE_K.hypot(WIDER * fit));
        Member::new(f.cone, f.law(column), deviation_k)
    };
    let fitted: Vec<Member> = found.iter().map(member).collect();
    Cone::all()
        .filter_map(|cone| {
            let own = fitted.iter().find(|m| m.cone == cone).cloned();
            own.or_else(|| between(&fitted, cone))
                .or_else(|| beyond(&fitted, cone))
        })
        .collect()
}

/// Halves lie half way between their neighbours.
fn between(fitted: &[Member], cone: Cone) -> Option<Member> {
    let below = fitted.iter().rev().find(|m| m.cone < cone)?;
    let above = fitted.iter().find(|m| m.cone > cone)?;
    let t =
        (cone.position() - below.cone.position()) / (above.cone.position() - below.cone.position());
    let mut deviation_k = below.deviation_k;
    for (a, b) in deviation_k.iter_mut().zip(above.deviation_k) {
        *a = a.max(b);
    }
    let law = below.law.towards(&above.law, t);
    Some(Member::new(cone, law, deviation_k))
}

/// Cone 14, of which no end point was retrieved, softens like cone 13 and stands above it by the
/// mean of the last steps. Its deviation is the root mean square by which the same rule misses the
/// cones that are known.
fn beyond(fitted: &[Member], cone: Cone) -> Option<Member> {
    let ends: Vec<f64> = fitted.iter().map(|m| m.law.usual_k()).collect();
    let step = |below: &[f64]| {
        let first = below.get(below.len().checked_sub(STEPS + 1)?)?;
        Some((below.last()? - first) / STEPS as f64)
    };
    let misses: Vec<f64> = (1..ends.len())
        .filter_map(|i| Some(ends.get(i - 1)? + step(ends.get(..i)?)? - ends.get(i)?))
        .collect();
    let last = fitted.last()?;
    let rule = root_mean_square(&misses);
    let law = last.law.hotter_by(step(&ends)?);
    let deviation_k = last.deviation_k.map(|fit| fit.hypot(rule));
    Some(Member::new(cone, law, deviation_k))
}

fn root_mean_square(all: &[f64]) -> f64 {
    (all.iter().map(|m| m * m).sum::<f64>() / all.len().max(1) as f64).sqrt()
}

/// ln of the rates at which deviations are kept.
fn ln_rates() -> [f64; RATES_C_PER_H.len()] {
    RATES_C_PER_H.map(f64::ln)
}

/// The value at a rate, straight in its logarithm between those that are kept.
pub(super) fn at_rate(kept: &[f64; RATES_C_PER_H.len()], rate_c_per_h: f64) -> f64 {
    let (x, ends) = (rate_c_per_h.ln(), ln_rates());
    let pairs = ends.windows(2).zip(kept.windows(2));
    let mut value = kept[0];
    for (ln, at) in pairs {
        if let ([a, b], [from, to]) = (ln, at) {
            value += (to - from) * ((x - a) / (b - a)).clamp(0.0, 1.0);
        }
    }
    value
}
