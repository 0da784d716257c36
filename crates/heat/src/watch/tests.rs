use glost_model::firing::FiringPlan;
use glost_model::readings::Sample;
use glost_model::{Energy, Span, Temperature};
use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;

use super::*;
use crate::strange::{Fault, Planted};
use crate::validation::kilns::{SMALL, kiln, small_firing};

fn plan() -> FiringPlan {
    small_firing().unwrap()
}

fn at(s: i64) -> Timestamp {
    Timestamp::UNIX_EPOCH + SignedDuration::from_secs(s)
}

fn small() -> Watch {
    Watch::new(&WatchAsk::new(kiln(&SMALL), plan(), at(0))).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    /// Gaps, doubled and backward times, missing and impossible values: it never panics, and what it says are numbers.
    #[test]
    fn nothing_in_a_log_breaks_it(
        log in prop::collection::vec(
            (
                -900i64..5400,
                prop::option::of(prop_oneof![Just(f64::NAN), Just(9999.0), -60.0f64..1400.0]),
                prop::option::of(prop_oneof![Just(f64::INFINITY), 0.0f64..1400.0]),
                prop::option::of(prop_oneof![Just(f64::NAN), -1.0f64..2.0]),
                prop::option::of(0.0f64..90.0),
            ),
            1..40,
        )
    ) {
        let mut watch = small();
        let mut s = 0;
        for (step, sensor, set, duty, kwh) in log {
            s += step;
            watch.take(&Sample {
                at: at(s),
                sensor: sensor.map(Temperature::c),
                set_point: set.map(Temperature::c),
                duty,
                meter: kwh.map(Energy::kwh),
                others: Vec::new(),
            });
        }
        let now = watch.now();
        for t in &now.tiers {
            prop_assert!(t.ware.middle.to_k().is_finite() && t.cone.middle.is_finite());
        }
        prop_assert!(now.power_share.middle.is_finite());
    }
}

/// A firing of a kiln unlike the model; what the watch said, and when.
fn watched(number: usize, faults: &[Planted]) -> (Vec<(f64, AlarmKind)>, Estimate, f64) {
    let mut draw = crate::learn::trial::Draw::new(7, number);
    let (load, plan) = draw.next_firing().unwrap();
    let start = crate::learn::trial::Draw::start(0);
    let fired = draw
        .kiln
        .fire(&plan, &load, faults, start, Span::minutes(1.0));
    let mut watch = Watch::new(&WatchAsk::new(load, plan, start)).unwrap();
    let mut rang = Vec::new();
    for sample in &fired.samples {
        for event in watch.take(sample) {
            if let Event::Began(alarm) = event {
                let s = sample.at.duration_since(start).as_secs_f64();
                rang.push((s / 3600.0, alarm.kind));
            }
        }
    }
    let middle = fired
        .truth
        .tiers
        .get(fired.truth.tiers.len() / 2)
        .and_then(|t| t.cone);
    (rang, watch.now(), middle.unwrap_or(-22.0))
}

#[test]
fn replaying_gives_the_same() {
    assert_eq!(watched(1, &[]), watched(1, &[]));
}

/// Printed, to be looked at.
#[test]
#[ignore = "a look at what rings, minutes long"]
fn what_rings() {
    for number in 0..3 {
        let (rang, now, cone) = watched(number, &[]);
        let told = now.tiers.get(now.middle).map(|t| t.cone);
        println!("{number} clean: {rang:?}; cone {cone:.2} told {told:?}");
        for fault in Fault::all(1) {
            let h = if fault == Fault::SensorReversed {
                0.0
            } else {
                4.0
            };
            let planted = Planted::new(fault, Span::h(h));
            println!(
                "{number} {}: {:?}",
                fault.key(),
                watched(number, &[planted]).0
            );
        }
    }
}
