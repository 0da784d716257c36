//! Limits hold whatever the walls and however a firing is sampled.

use glost_model::forecast::Sample;
use glost_model::shown::Shown;
use glost_model::{Energy, Length, Power};
use proptest::prelude::*;

use super::*;
use crate::firing::facts::Strained;
use crate::kiln::OpeningLimits;

fn facts(wall_mm: f64, kind: FiringKind, raised: bool) -> Facts {
    let wall = Length::mm(wall_mm);
    Facts {
        cone: glost_model::cone::Cone::parse("6").unwrap(),
        kind,
        shown: Shown::default(),
        thickest: Some((wall, "slab".into())),
        strained: Some(Strained {
            piece: "slab".into(),
            wall,
            raised,
            raw: kind == FiringKind::Bisque,
        }),
        drying: None,
        risky: Vec::new(),
        burn_out: None,
        slow_cool: None,
        opening: OpeningLimits::USUAL,
    }
}

fn cap(of: Of, from: f64, to: f64, c_per_h: f64) -> Cap {
    Cap {
        id: "made-up",
        from: Temperature::c(from),
        to: Temperature::c(to),
        rate: Rate::c_per_h(c_per_h),
        of,
        why: String::new(),
    }
}

/// A track through points of hours and °C, looked at every so many minutes; the ware runs 10 K behind the sensor.
fn sampled(points: &[(f64, f64)], minutes: f64) -> Vec<Sample> {
    let last = points.last().unwrap().0;
    let at = |h: f64| {
        let after = points.iter().position(|p| p.0 >= h).unwrap_or(0).max(1);
        let (a, b) = (points[after - 1], points[after]);
        a.1 + (b.1 - a.1) * (h - a.0) / (b.0 - a.0)
    };
    let mut times: Vec<f64> = (0..)
        .map(|i| f64::from(i) * minutes / 60.0)
        .take_while(|h| *h < last)
        .collect();
    times.extend(points.iter().map(|p| p.0));
    times.sort_by(f64::total_cmp);
    times.dedup();
    times
        .into_iter()
        .map(|h| Sample {
            time_s: Span::h(h),
            set_point_c: None,
            sensor_c: Temperature::c(at(h)),
            element_c: Temperature::c(at(h)),
            ware_c: vec![Temperature::c(at(h) - 10.0)],
            power_w: Power::w(0.0),
            energy_j: Energy::j(0.0),
        })
        .collect()
}

proptest! {
    #[test]
    fn thicker_ware_never_goes_faster(mm in 2.0..60.0f64, more in 0.0..30.0f64, bisque: bool, raised: bool) {
        let kind = if bisque { FiringKind::Bisque } else { FiringKind::Glaze };
        let last = Temperature::c(950.0);
        let (thin, thick) = (caps(&facts(mm, kind, raised), last), caps(&facts(mm + more, kind, raised), last));
        prop_assert_eq!(thin.len(), thick.len());
        for (a, b) in thin.iter().zip(&thick) {
            prop_assert_eq!((a.id, a.from, a.to), (b.id, b.from, b.to));
            prop_assert!(b.c_per_h() <= a.c_per_h(), "{} {} {}", a.id, a.c_per_h(), b.c_per_h());
            prop_assert!(b.c_per_h() >= 5.0);
        }
    }

    #[test]
    fn raised_ware_stands_at_least_as_much(mm in 2.0..60.0f64, bisque: bool) {
        let kind = if bisque { FiringKind::Bisque } else { FiringKind::Glaze };
        let last = Temperature::c(950.0);
        let (flat, raised) = (caps(&facts(mm, kind, false), last), caps(&facts(mm, kind, true), last));
        for (a, b) in flat.iter().zip(&raised) {
            prop_assert!(b.c_per_h() >= a.c_per_h());
        }
    }

    /// A steady climb breaks a limit when it is faster by more than controllers swing, however it is looked at.
    #[test]
    fn a_steady_climb_is_measured_right(c_per_h in 30.0..400.0f64, most in 30.0..400.0f64, minutes in 1.0..9.0f64) {
        let samples = sampled(&[(0.0, 20.0), (980.0 / c_per_h, 1000.0)], minutes);
        for of in [Of::Sensor, Of::Ware] {
            let found = broken(&[cap(of, 300.0, 600.0, most)], &samples);
            let beyond = c_per_h - (most * SHARE).max(most + SWING_C_PER_H);
            if beyond > 1e-6 {
                prop_assert_eq!(found.len(), 1);
                prop_assert!((found[0].rate.to_c_per_h() - c_per_h).abs() < 1e-6);
            } else if beyond < -1e-6 {
                prop_assert!(found.is_empty());
            }
        }
    }

    /// What goes on beside a stretch does not count in it.
    #[test]
    fn haste_beyond_a_stretch_is_no_fault_of_it(before in 30.0..600.0f64, after in 30.0..600.0f64, minutes in 1.0..9.0f64) {
        let mut t = 0.0;
        let mut points = vec![(t, 20.0)];
        for (to, rate) in [(300.0, before), (600.0, 90.0), (1000.0, after)] {
            t += (to - points[points.len() - 1].1) / rate;
            points.push((t, to));
        }
        let samples = sampled(&points, minutes);
        prop_assert!(broken(&[cap(Of::Sensor, 300.0, 600.0, 100.0)], &samples).is_empty());
    }
}

#[test]
fn a_stretch_that_is_over_at_once_counts_as_a_whole() {
    let samples = sampled(
        &[(0.0, 20.0), (0.1, 300.0), (0.2, 400.0), (5.0, 450.0)],
        5.0,
    );
    let found = broken(&[cap(Of::Sensor, 300.0, 400.0, 200.0)], &samples);
    assert_eq!(found.len(), 1);
    assert!((found[0].rate.to_c_per_h() - 1000.0).abs() < 1.0);
}

#[test]
fn cooling_has_limits_of_its_own() {
    let samples = sampled(&[(0.0, 1000.0), (4.0, 200.0), (6.0, 100.0)], 5.0);
    assert!(broken(&[cap(Of::Ware, 300.0, 700.0, 100.0)], &samples).is_empty());
    let found = broken(&[cap(Of::Ware, 700.0, 300.0, -100.0)], &samples);
    assert_eq!(found.len(), 1);
    assert!((found[0].rate.to_c_per_h() + 200.0).abs() < 1e-6);
}
