//! What holds for any curve.

use glost_model::Rate;
use proptest::prelude::*;

use super::*;
use crate::end_point_at;

type Curve = Vec<(f64, f64)>;

/// Hours and °C of a curve's corners: made up, as kilns do not go.
fn curve() -> impl Strategy<Value = Curve> {
    prop::collection::vec((0.05f64..5.0, 400.0f64..1350.0), 2..8)
}

fn received(column: Column, curve: &Curve, pieces: impl Fn(usize) -> usize) -> HeatWork {
    let mut work = HeatWork::of(column);
    for (k, pair) in curve.windows(2).enumerate() {
        let [(_, a), (h, b)] = [pair[0], pair[1]];
        let n = pieces(k);
        let at = |i: usize| Temperature::c(a + (b - a) * i as f64 / n as f64);
        for i in 0..n {
            work.push(Span::h(h / n as f64), at(i), at(i + 1)).unwrap();
        }
    }
    work
}

fn once(column: Column, curve: &Curve) -> HeatWork {
    received(column, curve, |_| 1)
}

proptest! {
    /// However often the curve is sampled.
    #[test]
    fn sampling_changes_nothing(curve in curve(), pieces in prop::collection::vec(1usize..60, 8)) {
        for column in [Column::SelfSupporting, Column::Large] {
            let (whole, parts) = (once(column, &curve), received(column, &curve, |k| pieces[k % 8]));
            for cone in Cone::all() {
                let (x, y) = (whole.fraction(cone).unwrap(), parts.fraction(cone).unwrap());
                prop_assert!((x - y).abs() <= 3e-3 * x.max(y), "{}: {} {}", cone, x, y);
            }
        }
    }

    /// Work of a curve is that of its first part and that of its second, whatever came in between.
    #[test]
    fn parts_add_up(first in curve(), second in curve()) {
        let of = |curve| once(Column::SelfSupporting, curve);
        let mut both = of(&first);
        for pair in second.windows(2) {
            both.push(Span::h(pair[1].0), Temperature::c(pair[0].1), Temperature::c(pair[1].1)).unwrap();
        }
        for cone in Cone::all() {
            let sum = of(&first).fraction(cone).unwrap() + of(&second).fraction(cone).unwrap();
            prop_assert!((both.fraction(cone).unwrap() - sum).abs() <= 1e-12 * sum.max(1e-300));
        }
    }

    /// A curve that is nowhere cooler gives no cone less, and no lower reading.
    #[test]
    fn more_heat_is_more_work(curve in curve(), more in prop::collection::vec(0.0f64..60.0, 8)) {
        let hotter: Curve = (0..).zip(&curve).map(|(i, (h, t)): (usize, _)| (*h, t + more[i % 8])).collect();
        for column in [Column::SelfSupporting, Column::Large] {
            // Finely, so that Simpson's rule does not stand between the two.
            let (a, b) = (received(column, &curve, |_| 60), received(column, &hotter, |_| 60));
            for cone in Cone::all() {
                prop_assert!(a.fraction(cone).unwrap() <= b.fraction(cone).unwrap() * (1.0 + 1e-3), "{}", cone);
            }
            prop_assert!(a.position().unwrap_or(-22.0) <= b.position().unwrap_or(-22.0) + 0.01);
        }
    }

    /// Decimals: a firing to where 5.3 is down reads 5.3, and a hotter end never reads less.
    #[test]
    fn a_firing_to_a_decimal_reads_it(position in -21.0f64..13.9, more in 0.0f64..50.0, ln_rate in 15f64.ln()..150f64.ln()) {
        let rate = Rate::c_per_h(ln_rate.exp());
        for column in [Column::SelfSupporting, Column::Large] {
            let to = |end: Temperature| {
                let start = end - TempDiff::k(350.0);
                let mut work = HeatWork::of(column);
                work.push((end - start) / rate, start, end).unwrap();
                work.position().unwrap_or(-22.0)
            };
            let end = end_point_at(column, position, rate).unwrap();
            // Just below 022 nothing is read.
            prop_assert!(position < -20.98 || (to(end) - position).abs() < 0.12, "{} {}", position, to(end));
            prop_assert!(to(end) <= to(end + TempDiff::k(more)) + 1e-9);
        }
    }

    /// Whatever the fractions, in order or not: the reading lies from the hottest cone that is
    /// down to the next, and more heat-work of any cone never lowers it.
    #[test]
    fn any_fractions_are_read(done in prop::collection::vec(0.0f64..3.0, 38), which in 0usize..38, more in 0.0f64..2.0) {
        let members = family(Column::SelfSupporting);
        prop_assert_eq!(members.len(), done.len());
        let found = position(members, &done);
        let down = members.iter().zip(&done).rev().find(|(_, d)| **d >= 1.0);
        prop_assert_eq!(found.is_some(), down.is_some());
        if let (Some(p), Some((m, _))) = (found, down) {
            let next = members.iter().find(|n| n.cone > m.cone).unwrap_or(m);
            prop_assert!((m.cone.position()..=next.cone.position()).contains(&p));
        }
        let mut later = done.clone();
        later[which] += more;
        let after = position(members, &later);
        prop_assert!(after.unwrap_or(-99.0) >= found.unwrap_or(-99.0) - 1e-12);
    }

    /// The band holds the reading, and a worse sensor widens it.
    #[test]
    fn the_band_holds_the_reading(curve in curve(), sensor in 0.0f64..20.0) {
        let work = once(Column::SelfSupporting, &curve);
        let (good, worse) = (work.reached(), work.reached_by(TempDiff::k(sensor)));
        let place = |p: Place| match p { Place::Below => -22.0, Place::At(p) => p, Place::Top => 14.0 };
        prop_assert!(place(worse.low) <= place(good.low) && place(good.high) <= place(worse.high));
        prop_assert!(place(good.low) <= place(good.position) && place(good.position) <= place(good.high));
        if let Some(sd) = work.deviation(TempDiff::k(sensor)) {
            prop_assert!(sd.is_finite() && sd >= 0.0);
        }
    }
}
