//! Fits the laws of all cones at once.

use glost_model::cone::Cone;

use super::chart::{Cell, Column, published};
use super::law::{GAS_J_PER_MOL_K, Law, law_of};
use super::{Member, USUAL_C_PER_H};

/// Weight of one cone's ln E against the mean of its neighbours', as °C² of misfit. Two or three
/// cells rounded to 1 °C leave E loose; the family is made alike and holds it. At 60 cones 1
/// and 2 still cross at 5 °C/h; at 200 none do from 5 to 300 °C/h.
const SMOOTH: f64 = 200.0;
/// Rounds of the joint fit; the laws no longer move after about half of them.
const ROUNDS: usize = 200;
/// Cones are made to within this of the reference cone, K (T. Frederich, 2003).
const TOLERANCE_K: f64 = 2.0;
/// Steps of the ladder whose mean leads on to cone 14.
const STEPS: usize = 5;
/// Weight of the family's mean shift to the large column, in cells of one cone. With the mean
/// alone cone 010 is off by 4.5 °C; a cone's own one or two cells alone would carry their rounding.
const SHIFT_WEIGHT: f64 = 1.0;

/// The best E/R for one cone beside its neighbours' mean of ln E. The sum has one valley there.
fn fit(cells: &[Cell], near: f64) -> Law {
    let cost = |ln_e: f64| law_of(ln_e.exp(), cells).1 + SMOOTH * (ln_e - near).powi(2);
    // 200 to 2500 kJ/mol: wider than anything met.
    let bound = |kj: f64| (kj * 1000.0 / GAS_J_PER_MOL_K).ln();
    let (mut lo, mut hi) = (bound(200.0), bound(2500.0));
    let g = (5f64.sqrt() - 1.0) / 2.0;
    for _ in 0..40 {
        let (a, b) = (hi - g * (hi - lo), lo + g * (hi - lo));
        if cost(a) < cost(b) { hi = b } else { lo = a }
    }
    law_of(f64::midpoint(lo, hi).exp(), cells).0
}

/// Fits the self-supporting column: E alike from cone to cone.
pub(super) fn self_supporting() -> Vec<Member> {
    let (cones, cells): (Vec<Cone>, Vec<Vec<Cell>>) = Cone::all()
        .map(|c| (c, published(c, Column::SelfSupporting)))
        .filter(|(_, cells)| !cells.is_empty())
        .unzip();
    let start = (600_000.0 / GAS_J_PER_MOL_K).ln();
    let mut laws: Vec<Law> = cells.iter().map(|c| fit(c, start)).collect();
    for _ in 0..ROUNDS {
        for i in 0..laws.len() {
            let beside: Vec<f64> = [i.checked_sub(1), Some(i + 1)]
                .into_iter()
                .flatten()
                .filter_map(|k| laws.get(k))
                .map(|l| l.e_k.ln())
                .collect();
            let near = beside.iter().sum::<f64>() / beside.len().max(1) as f64;
            laws[i] = fit(&cells[i], near);
        }
    }
    whole(cones.into_iter().zip(laws), Column::SelfSupporting)
}

/// Moves every law of the self-supporting column to the large one. The shift of each cone is
/// drawn to that of the family, which stands in alone for a cone without published cells.
pub(super) fn large(from: &[Member]) -> Vec<Member> {
    let misses = |m: &Member| -> Vec<f64> {
        let cells = published(m.cone, Column::Large);
        cells.iter().map(|c| m.law.miss_k(c)).collect()
    };
    let each: Vec<Vec<f64>> = from.iter().map(misses).collect();
    let mean = |all: &[f64]| all.iter().sum::<f64>() / all.len().max(1) as f64;
    let family = mean(&each.concat());
    let known = from.iter().zip(&each).filter(|(m, _)| !m.guessed);
    let laws = known.map(|(m, own)| {
        let shift =
            (own.iter().sum::<f64>() + SHIFT_WEIGHT * family) / (own.len() as f64 + SHIFT_WEIGHT);
        (m.cone, m.law.cooler_by(shift, USUAL_C_PER_H))
    });
    whole(laws, Column::Large)
}

/// The whole ladder from the cones that have a law.
fn whole(laws: impl Iterator<Item = (Cone, Law)>, column: Column) -> Vec<Member> {
    let laws: Vec<(Cone, Law)> = laws.collect();
    let misses: Vec<Vec<f64>> = laws
        .iter()
        .map(|(cone, law)| {
            published(*cone, column)
                .iter()
                .map(|c| law.miss_k(c))
                .collect()
        })
        .collect();
    let family = root_mean_square(&misses.concat());
    let known: Vec<Member> = laws
        .iter()
        .zip(&misses)
        .map(|((cone, law), own)| {
            let fit = 2.0 * family.max(root_mean_square(own));
            Member::new(*cone, *law, TOLERANCE_K.hypot(fit), false)
        })
        .collect();
    Cone::all()
        .filter_map(|cone| {
            let own = known.iter().find(|m| m.cone == cone);
            own.cloned()
                .or_else(|| between(&known, cone))
                .or_else(|| beyond(&known, cone))
        })
        .collect()
}

/// A half lies half way in end point, with an activation energy between the two.
fn between(known: &[Member], cone: Cone) -> Option<Member> {
    let below = known.iter().rev().find(|m| m.cone < cone)?;
    let above = known.iter().find(|m| m.cone > cone)?;
    let t =
        (cone.position() - below.cone.position()) / (above.cone.position() - below.cone.position());
    let mix = |a: f64, b: f64| a + t * (b - a);
    let e_k = mix(below.law.e_k, above.law.e_k);
    let law = Law::through(e_k, USUAL_C_PER_H, mix(below.end_k, above.end_k));
    Some(Member::new(
        cone,
        law,
        below.doubt_k.max(above.doubt_k),
        true,
    ))
}

/// Cone 14, of which no end point was retrieved, is the mean of the last steps above cone 13. Its
/// doubt is twice the root mean square by which the same rule misses the cones that are known.
fn beyond(known: &[Member], cone: Cone) -> Option<Member> {
    let ends: Vec<f64> = known.iter().map(|m| m.end_k).collect();
    let next = |below: &[f64]| {
        let last = below.last()?;
        let first = below.get(below.len().checked_sub(STEPS + 1)?)?;
        Some(last + (last - first) / STEPS as f64)
    };
    let misses: Vec<f64> = (1..ends.len())
        .filter_map(|i| Some(next(ends.get(..i)?)? - ends.get(i)?))
        .collect();
    let law = Law::through(known.last()?.law.e_k, USUAL_C_PER_H, next(&ends)?);
    let doubt = TOLERANCE_K.hypot(2.0 * root_mean_square(&misses));
    Some(Member::new(cone, law, doubt, true))
}

fn root_mean_square(all: &[f64]) -> f64 {
    (all.iter().map(|m| m * m).sum::<f64>() / all.len().max(1) as f64).sqrt()
}
