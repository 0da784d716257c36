//! Thermocouples against tables made outside.

use glost_heat::sensor::{Emf, Thermocouple};
use glost_model::Temperature;
use proptest::prelude::*;

const OUTSIDE: &str = include_str!("data/its90.csv");

fn rows() -> impl Iterator<Item = (Thermocouple, f64, f64)> {
    OUTSIDE.lines().skip(1).filter_map(|line| {
        let mut cells = line.split(',');
        let name = cells.next()?;
        let kind = Thermocouple::ALL
            .into_iter()
            .find(|k| k.to_string() == name)?;
        let c = cells.next()?.parse().ok()?;
        Some((kind, c, cells.next()?.parse().ok()?))
    })
}

#[test]
fn every_row_is_read() {
    assert_eq!(rows().count(), OUTSIDE.lines().count() - 1);
}

#[test]
fn voltages_agree_with_an_outside_package() {
    for kind in Thermocouple::ALL {
        let misses = rows().filter(|r| r.0 == kind).map(|(_, c, mv)| {
            let miss = (kind.emf(Temperature::c(c)).unwrap() - Emf::mv(mv)).to_mv();
            assert!(
                miss.abs() < 0.001,
                "type {kind} at {c} °C: off by {miss} mV"
            );
            miss.abs()
        });
        let worst = misses.fold(0.0, f64::max);
        println!("type {kind}: worst {worst:.7} mV");
        assert!(rows().filter(|r| r.0 == kind).count() > 20);
    }
}

/// NIST Monograph 175, printed to 0.001 mV.
#[test]
fn printed_values() {
    for (kind, c, mv) in [
        (Thermocouple::K, 1000.0, 41.276),
        (Thermocouple::N, 1000.0, 36.256),
        (Thermocouple::S, 1000.0, 9.587),
        (Thermocouple::R, 1000.0, 10.506),
        (Thermocouple::B, 1000.0, 4.834),
    ] {
        let found = kind.emf(Temperature::c(c)).unwrap().to_mv();
        assert!((found - mv).abs() <= 0.000_51, "type {kind}: {found}");
    }
}

#[test]
fn stretches_join() {
    for (kind, joint) in [
        (Thermocouple::K, 0.0),
        (Thermocouple::N, 0.0),
        (Thermocouple::S, 1064.18),
        (Thermocouple::S, 1664.5),
        (Thermocouple::R, 1064.18),
        (Thermocouple::R, 1664.5),
        (Thermocouple::B, 630.615),
    ] {
        let at = |c| kind.emf(Temperature::c(c)).unwrap().to_mv();
        let step = at(joint + 1e-4) - at(joint - 1e-4);
        assert!(
            step > 0.0 && step < 1e-4,
            "type {kind} at {joint} °C: {step}"
        );
    }
}

#[test]
fn the_whole_readable_range_rises() {
    for kind in Thermocouple::ALL {
        let (least, most) = kind.readable_range();
        let (mut c, mut last) = (least.to_c(), f64::NEG_INFINITY);
        while c <= most.to_c() {
            let now = kind.emf(Temperature::c(c)).unwrap().to_mv();
            assert!(now > last, "type {kind} at {c} °C");
            (c, last) = (c + 0.5, now);
        }
    }
}

#[test]
fn out_of_range_says_the_range() {
    let hot = Thermocouple::K.emf(Temperature::c(1400.0)).unwrap_err();
    assert_eq!(
        hot.to_string(),
        "type K has reference values from -270 to 1372 °C, not at 1400.0 °C"
    );
    let faint = Thermocouple::B.temperature(Emf::mv(0.1)).unwrap_err();
    assert_eq!(
        faint.to_string(),
        "type B tells temperatures from 250 to 1820 °C, that is from 0.291 mV to 13.820 mV, not at 0.100 mV"
    );
    for kind in Thermocouple::ALL {
        let (least, most) = kind.range();
        assert!(kind.emf(least).is_ok() && kind.emf(most).is_ok());
        assert!(kind.emf(Temperature::c(f64::NAN)).is_err());
        assert!(kind.temperature(Emf::mv(f64::NAN)).is_err());
        assert!(kind.temperature(Emf::mv(100.0)).is_err());
    }
}

/// The printed 54.886 mV is above the voltage of no temperature, rounded as it is.
#[test]
fn a_rounded_end_is_still_within() {
    for kind in Thermocouple::ALL {
        let (_, most) = kind.range();
        let printed = (kind.emf(most).unwrap().to_mv() * 1000.0).round() / 1000.0;
        assert!(kind.temperature(Emf::mv(printed)).is_ok(), "type {kind}");
    }
}

/// 4.096 mV with the terminals at 25 °C: the value in the outside package's own handbook.
#[test]
fn the_cold_junction_counts() {
    let hot = Thermocouple::K.hot_junction(Emf::mv(4.096), Temperature::c(25.0));
    assert!((hot.unwrap().to_c() - 124.3).abs() < 0.05);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn there_and_back(pick in 0usize..5, share in 0.0f64..=1.0) {
        let kind = Thermocouple::ALL[pick];
        let (least, most) = kind.readable_range();
        let there = least + (most - least) * share;
        let back = kind.temperature(kind.emf(there).unwrap()).unwrap();
        prop_assert!((back - there).to_k().abs() < 0.01, "type {kind} at {} °C", there.to_c());
    }
}
