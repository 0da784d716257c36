//! What must hold of any kiln.

use glost_heat::kiln::{Extent, KilnModel, NotAKiln, NotSimulated, SensorError, simulate};
use glost_model::{Length, Span, TempDiff, Temperature};
use proptest::prelude::*;

use crate::reference::{REFERENCE, Sizes, closes, kiln, plan, tariff};

#[test]
fn a_kiln_that_is_not_fired_stays_as_it_is() {
    let mut input = kiln(&REFERENCE);
    // Water would dry off in the room too and take its heat.
    for w in &mut input.ware {
        w.water = 0.0;
    }
    let model = KilnModel::new(input).unwrap();
    let f = simulate(&model, &plan("6", &[]), &tariff(), Extent::Firing).unwrap();
    let all = f
        .samples
        .iter()
        .flat_map(|s| s.ware_c.iter().chain([&s.sensor_c, &s.element_c]));
    assert!(all.clone().all(|t| (t.to_c() - 25.0).abs() < 1e-6));
    assert!(f.energy_j.to_j().abs() < 1e-9 && !f.feasible);
}

#[test]
fn nonsense_is_refused_and_said_so() {
    let broken = |change: &dyn Fn(&mut glost_heat::kiln::KilnInput)| {
        let mut input = kiln(&REFERENCE);
        change(&mut input);
        KilnModel::new(input).err()
    };
    assert_eq!(
        broken(&|k| k.height = Length::ZERO),
        Some(NotAKiln::Size("height"))
    );
    assert_eq!(
        broken(&|k| k.ageing = f64::NAN),
        Some(NotAKiln::Size("element ageing"))
    );
    assert_eq!(broken(&|k| k.wall.clear()), Some(NotAKiln::Size("wall")));
    assert_eq!(
        broken(&|k| k.bands.clear()),
        Some(NotAKiln::Size("element power"))
    );
    assert_eq!(
        broken(&|k| k.ware[0].wall = Length::ZERO),
        Some(NotAKiln::Size("ware"))
    );
    let model = KilnModel::new(kiln(&REFERENCE)).unwrap();
    let run = |change: &dyn Fn(&mut glost_model::firing::Segment)| {
        let mut p = plan("6", &[(100.0, 600.0, 0.0)]);
        change(&mut p.segments[0]);
        simulate(&model, &p, &tariff(), Extent::Firing).err()
    };
    let refused = Some(NotSimulated::Segment(1));
    assert_eq!(run(&|s| s.target = Temperature::c(f64::NAN)), refused);
    assert_eq!(run(&|s| s.hold = Span::s(-1.0)), refused);
    assert_eq!(run(&|s| s.rate = Some(glost_model::Rate::ZERO)), refused);
}

/// Full power goes with the square of the voltage and falls as the wire ages and warms (0Cr25Al5: 4.4 % from 20 to
/// 1000 °C).
#[test]
fn power_follows_mains_age_and_heat_of_the_wire() {
    let most = |mains: f64, ageing: f64| {
        let mut input = kiln(&REFERENCE);
        (input.mains, input.ageing) = (mains, ageing);
        let model = KilnModel::new(input).unwrap();
        let f = simulate(
            &model,
            &plan("6", &[(0.0, 700.0, 0.0)]),
            &tariff(),
            Extent::Firing,
        )
        .unwrap();
        let powers = f
            .samples
            .iter()
            .map(|s| (s.power_w.to_kw(), s.element_c.to_c()));
        powers.fold((0.0, 0.0), |a, b| if b.0 > a.0 { b } else { a })
    };
    let (new, at) = most(1.0, 1.0);
    assert!((11.0..11.0 * 1.045).contains(&new), "{new} kW at {at} °C");
    let low = most(0.95, 1.0).0;
    assert!((low / new - 0.9025).abs() < 0.01, "{low} against {new}");
    let old = most(1.0, 1.1).0;
    assert!((old / new - 1.0 / 1.1).abs() < 0.01, "{old} against {new}");
}

/// A controller believes its sensor: what it reads too low, the kiln has too much.
#[test]
fn a_sensor_that_is_off_misleads_the_kiln() {
    let peak = |offset: f64, drift: f64| {
        let mut input = kiln(&REFERENCE);
        input.sensor_error = SensorError {
            offset: TempDiff::k(offset),
            drift,
        };
        let model = KilnModel::new(input).unwrap();
        let plan = plan("04", &[(120.0, 1000.0, 30.0)]);
        let f = simulate(&model, &plan, &tariff(), Extent::Firing).unwrap();
        assert!((f.peak_c.to_c() - 1000.0).abs() < 6.0, "{:?}", f.peak_c);
        f.zones[1].peak_c.to_c()
    };
    let right = peak(0.0, 0.0);
    for (offset, drift) in [(-10.0, 0.0), (0.0, -0.01)] {
        let hotter = peak(offset, drift) - right;
        assert!((hotter - 10.0).abs() < 1.0, "{offset} {drift}: {hotter} K");
    }
}

#[test]
fn plugs_that_are_out_let_heat_go() {
    let vented = |plugs: Option<f64>| {
        let mut input = kiln(&REFERENCE);
        input.plugs_in_at = plugs.map(Temperature::c);
        let model = KilnModel::new(input).unwrap();
        let plan = plan("04", &[(120.0, 1000.0, 10.0)]);
        let f = simulate(&model, &plan, &tariff(), Extent::Cooling).unwrap();
        closes(&f);
        f.split.vent_j.to_kwh()
    };
    let (shut, early, late) = (vented(None), vented(Some(120.0)), vented(Some(600.0)));
    assert!(shut < early && early + 0.5 < late, "{shut} {early} {late}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn energy_closes_and_nothing_is_hotter_than_the_elements(
        radius in 0.12f64..0.45,
        height in 0.2f64..1.2,
        brick_mm in 50.0f64..150.0,
        per_m3 in 30.0f64..110.0,
        levels in 1usize..6,
        filled in 0.02f64..1.0,
        rate in 20.0f64..500.0,
        peak in 300.0f64..1290.0,
        hold in 0.0f64..120.0,
        zoned: bool,
        vent_fan: bool,
        raw: bool,
    ) {
        let litres = std::f64::consts::PI * radius * radius * height;
        let mut input = kiln(&Sizes {
            radius,
            height,
            brick_mm,
            kw: per_m3 * litres,
            shelves_kg: 220.0 * litres * filled,
            ware_kg: 200.0 * litres * filled,
            levels: levels.min((height / 0.12) as usize).max(1),
        });
        input.zoned = zoned;
        input.vent_fan = vent_fan;
        for w in &mut input.ware {
            w.raw = raw;
        }
        let model = KilnModel::new(input).unwrap();
        let plan = plan("6", &[(rate, peak * 0.6, hold), (rate / 2.0, peak, hold)]);
        let f = simulate(&model, &plan, &tariff(), Extent::Cooling).unwrap();
        closes(&f);
        let hottest = f.samples.iter().map(|s| s.element_c.to_c()).fold(0.0, f64::max);
        for s in &f.samples {
            prop_assert!(s.ware_c.iter().all(|t| (24.0..hottest + 1.0).contains(&t.to_c())));
        }
        prop_assert!(f.peak_c.to_c() < peak + 15.0, "{:?} {}", f.peak_c, f.notes.join(" "));
    }
}
