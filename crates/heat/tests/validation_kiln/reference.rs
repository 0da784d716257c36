//! A round kiln of 0.2 m³, worked out by hand: radius 0.29 m, 0.76 m high, brick of 520 kg/m³,
//! 45 kg of cordierite, 40 kg of ware [derived here].

use glost_heat::kiln::{Extent, KilnModel, simulate};
pub use glost_heat::validation::kilns::{REFERENCE, Sizes, kiln, tariff};
use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;

pub fn plan(cone: &str, segments: &[(f64, f64, f64)]) -> FiringPlan {
    glost_heat::validation::kilns::plan(cone, segments).unwrap()
}

/// Energy in = lost + vented + stored + taken up by reactions, to 0.1 %.
pub fn closes(f: &Forecast) {
    let s = &f.split;
    let known = s.lost_j + s.vent_j + s.stored_j + s.reactions_j;
    let off = (known - f.energy_j) / f.energy_j;
    println!("energy closes to {off:.1e}");
    assert!(off.abs() < 1e-3, "{:?} against {:?}", f.split, f.energy_j);
}

/// Its zones, bounds and order of samples; energy and hours are facts of `glost_heat::validation`.
#[test]
fn a_cone_six_firing() {
    let model = KilnModel::new(kiln(&REFERENCE)).unwrap();
    let plan = plan("6", &[(150.0, 1100.0, 0.0), (60.0, 1208.0, 10.0)]);
    let f = simulate(&model, &plan, &tariff(), Extent::Cooling).unwrap();
    println!("{:?}\n{:?}\n{:?}", f.notes, f.split, f.zones);
    closes(&f);
    assert!(f.feasible, "{:?}", f.notes);
    assert!((f.zones[1].cone_position - 6.0).abs() < 0.5);
    let hottest = f
        .samples
        .iter()
        .map(|s| s.element_c.to_c())
        .fold(0.0, f64::max);
    let all = f
        .samples
        .iter()
        .flat_map(|s| s.ware_c.iter().chain([&s.sensor_c]));
    assert!(all.clone().all(|t| (24.9..hottest).contains(&t.to_c())));
    assert!(
        f.samples
            .windows(2)
            .all(|w| w[1].time_s > w[0].time_s || w[1].set_point_c != w[0].set_point_c)
    );
}

/// A kiln that is too weak says so.
#[test]
fn a_weak_kiln_stalls_and_says_so() {
    let model = KilnModel::new(kiln(&Sizes {
        kw: 5.0,
        ..REFERENCE
    }))
    .unwrap();
    let plan = plan("6", &[(150.0, 1100.0, 0.0), (60.0, 1215.0, 10.0)]);
    let f = simulate(&model, &plan, &tariff(), Extent::Cooling).unwrap();
    assert!(!f.feasible);
    assert!(f.notes[0].contains("stalls"), "{:?}", f.notes);
    closes(&f);
}

/// The set point waits for a kiln that lags, and the note names the rate that it keeps.
#[test]
fn a_rate_that_the_kiln_cannot_keep_is_named() {
    let model = KilnModel::new(kiln(&REFERENCE)).unwrap();
    let f = simulate(
        &model,
        &plan("04", &[(400.0, 1060.0, 5.0)]),
        &tariff(),
        Extent::Firing,
    )
    .unwrap();
    assert!(
        !f.feasible && f.notes.iter().any(|n| n.contains("cannot keep 400")),
        "{:?}",
        f.notes
    );
    let ahead = f
        .samples
        .iter()
        .filter_map(|s| s.set_point_c.map(|p| (p - s.sensor_c).to_k()));
    assert!(ahead.fold(0.0, f64::max) < 12.5);
}

/// As fast as the kiln can, then a controlled cooling, then off.
#[test]
fn free_ramps_and_slow_cooling() {
    let model = KilnModel::new(kiln(&REFERENCE)).unwrap();
    let plan = plan(
        "6",
        &[
            (0.0, 600.0, 10.0),
            (120.0, 1190.0, 5.0),
            (0.0, 1000.0, 0.0),
            (40.0, 900.0, 20.0),
        ],
    );
    let f = simulate(&model, &plan, &tariff(), Extent::Cooling).unwrap();
    let at_end = f.samples.iter().rfind(|s| s.time_s <= f.firing_s).unwrap();
    assert!((at_end.sensor_c.to_c() - 900.0).abs() < 5.0, "{at_end:?}");
    let over = f
        .samples
        .iter()
        .filter(|s| s.time_s.to_h() < 4.0)
        .map(|s| s.sensor_c.to_c())
        .fold(0.0, f64::max);
    println!("{over} {:?}", f.notes);
    assert!(f.peak_c.to_c() < 1195.0, "{:?}", f.peak_c);
    closes(&f);
}
