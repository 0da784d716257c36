use glost_model::firing::FiringPlan;
use glost_model::readings::Sample;
use glost_model::{Energy, Span, Temperature};
use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;

use super::*;
use crate::strange::Planted;
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

/// A programme that cools under control or lets go for a while, with a log of nothing but the sensor.
#[test]
fn no_cut_rings_while_a_plan_cools() {
    for (number, segments) in [
        &[(60.0, 1190.0, 5.0), (0.0, 1000.0, 30.0)][..],
        &[
            (60.0, 1190.0, 0.0),
            (90.0, 950.0, 0.0),
            (150.0, 800.0, 20.0),
        ],
    ]
    .into_iter()
    .enumerate()
    {
        let mut all = vec![(80.0, 110.0, 20.0), (180.0, 1080.0, 0.0)];
        all.extend_from_slice(segments);
        let plan = crate::validation::kilns::plan("6", &all).unwrap();
        let mut draw = crate::learn::trial::Draw::new(7, number);
        let (load, _) = draw.next_firing().unwrap();
        let on = crate::learn::trial::Draw::start(0);
        let fired = draw.kiln.fire(&plan, &load, &[], on, Span::minutes(1.0));
        for whole in [true, false] {
            let mut watch = Watch::new(&WatchAsk::new(load.clone(), plan.clone(), on)).unwrap();
            for sample in &fired.samples {
                let sensor = Sample {
                    set_point: None,
                    duty: None,
                    meter: None,
                    ..sample.clone()
                };
                for event in watch.take(if whole { sample } else { &sensor }) {
                    let Event::Began(alarm) = event else { continue };
                    let kind = alarm.kind;
                    assert_ne!(kind, AlarmKind::PowerCut, "{number} {whole} {}", sample.at);
                }
            }
        }
    }
}

/// Somebody says that it is off before its programme is over: nothing more is foreseen of that.
#[test]
fn a_kiln_that_was_switched_off_does_not_climb_again() {
    let mut watch = small();
    let told = |minute: i64, c: f64| {
        let sensor = Some(Temperature::c(c));
        Sample {
            at: at(minute * 60),
            sensor,
            set_point: None,
            duty: None,
            meter: None,
            others: Vec::new(),
        }
    };
    for minute in 0..=180 {
        watch.take(&told(minute, 20.0 + minute as f64));
    }
    assert_ne!(watch.now().stage, Stage::Cooling);
    watch.switched_off();
    for minute in 181..=215 {
        watch.take(&told(minute, 200.0 - 0.5 * (minute - 180) as f64));
    }
    let now = watch.now();
    assert_eq!(now.stage, Stage::Cooling);
    let hottest = now
        .curve
        .iter()
        .map(|c| c.sensor.to_c())
        .fold(0.0, f64::max);
    assert!(hottest < 195.0, "{hottest}");
}
