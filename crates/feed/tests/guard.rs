//! What the guard says, and what it lets pass.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod made;

use glost_feed::clean::{Guard, Part, Remark, What};
use glost_model::readings::Sample;
use glost_model::shown::Shown;
use glost_model::{Energy, Temperature};
use made::second;
use proptest::prelude::*;

fn sample(at: i64, c: f64) -> Sample {
    Sample::of_sensor(second(at), Temperature::c(c))
}

/// Hears them all; for each sample the keys of its remarks, `!` behind those that withhold, and the sensor.
fn heard(guard: &mut Guard, samples: &[Sample]) -> Vec<(Vec<String>, bool)> {
    let all = samples.iter().map(|s| guard.hear(s.clone()));
    all.map(|h| {
        (
            h.remarks.iter().map(key).collect(),
            h.sample.sensor.is_some(),
        )
    })
    .collect()
}

fn key(remark: &Remark) -> String {
    let json = serde_json::to_value(remark).unwrap();
    assert_eq!(
        serde_json::from_value::<Remark>(json.clone()).unwrap(),
        *remark
    );
    let (words, remedy) = remark.words(Shown::default());
    assert!(!words.is_empty() && !remedy.is_empty());
    let mark = if remark.withheld { "!" } else { "" };
    format!("{}{mark}", json["key"].as_str().unwrap())
}

fn check(samples: &[Sample], wanted: &[(&[&str], bool)]) {
    let found = heard(&mut Guard::default(), samples);
    let wanted: Vec<(Vec<String>, bool)> = wanted
        .iter()
        .map(|(k, s)| (k.iter().map(|k| (*k).to_owned()).collect(), *s))
        .collect();
    assert_eq!(found, wanted);
}

const FINE: (&[&str], bool) = (&[], true);

#[test]
fn clocks() {
    let back = sample(0, 20.0);
    check(
        &[
            sample(60, 20.0),
            sample(60, 20.0),
            back,
            sample(70, 20.0),
            sample(80, 20.0),
        ],
        &[
            FINE,
            (&["doubled!"], false),
            (&["clock-back!"], false),
            FINE,
            FINE,
        ],
    );
    // An hour back, until the hour has passed.
    check(
        &[
            sample(3600, 20.0),
            sample(60, 20.0),
            sample(120, 20.0),
            sample(3660, 21.0),
        ],
        &[
            FINE,
            (&["summer-time!"], false),
            (&["summer-time!"], false),
            FINE,
        ],
    );
    // A clock that was set, and one time far off.
    let years = 100_000_000;
    check(
        &[
            sample(0, 20.0),
            sample(years, 20.0),
            sample(years + 60, 21.0),
            sample(years + 120, 21.0),
        ],
        &[FINE, (&["clock-leapt!"], false), FINE, FINE],
    );
    check(
        &[
            sample(0, 20.0),
            sample(years, 20.0),
            sample(60, 21.0),
            sample(120, 21.0),
        ],
        &[FINE, (&["clock-leapt!"], false), FINE, FINE],
    );
    check(
        &[
            sample(0, 20.0),
            sample(10, 20.5),
            sample(20, 21.0),
            sample(900, 60.0),
        ],
        &[FINE, FINE, FINE, (&["gap"], true)],
    );
}

#[test]
fn a_room_of_seventy_degrees_is_doubted_once() {
    check(
        &[sample(0, 70.0), sample(60, 71.0)],
        &[(&["maybe-fahrenheit"], true), FINE],
    );
    check(
        &[sample(0, -6.0), sample(60, -5.0)],
        &[(&["maybe-celsius"], true), FINE],
    );
    check(
        &[sample(0, 20.0), sample(60, 40.0), sample(120, 70.0)],
        &[FINE; 3],
    );
    let mut later = Guard::after(sample(0, 900.0));
    assert_eq!(heard(&mut later, &[sample(60, 899.0)]), [(vec![], true)]);
}

#[test]
fn sensors_that_fail() {
    // One odd reading, then a new level.
    check(
        &[sample(0, 600.0), sample(10, 900.0), sample(20, 601.0)],
        &[FINE, (&["spike!"], false), FINE],
    );
    check(
        &[
            sample(0, 600.0),
            sample(10, 300.0),
            sample(20, 300.0),
            sample(30, 300.0),
            sample(40, 300.0),
        ],
        &[
            FINE,
            (&["spike!"], false),
            (&["spike!"], false),
            (&["new-level"], true),
            FINE,
        ],
    );
    // Open, and for as long as it is open.
    let mut open: Vec<Sample> = vec![sample(0, 600.0)];
    open.extend((1..60).map(|n| sample(n * 60, 1372.0)));
    let found = heard(&mut Guard::default(), &open);
    assert!(found[1..].iter().all(|(_, passes)| !passes));
    assert_eq!(found[59].0, ["open-circuit!"]);
    check(
        &[sample(0, 20.0), sample(60, 9999.0)],
        &[FINE, (&["out-of-range!"], false)],
    );
    check(
        &[sample(0, 20.0), sample(60, f64::NAN)],
        &[FINE, (&["no-number!"], false)],
    );
    check(
        &[sample(0, 20.0), sample(600, 2.0), sample(1200, -15.0)],
        &[FINE, FINE, (&["reversed!"], false)],
    );
}

#[test]
fn a_sensor_that_stands_still_while_the_set_point_moves() {
    let with = |n: i64| Sample {
        set_point: Some(Temperature::c(20.0 + n as f64)),
        ..sample(n * 60, 20.0)
    };
    let found = heard(
        &mut Guard::default(),
        &(0..80).map(with).collect::<Vec<_>>(),
    );
    let told: Vec<usize> = found
        .iter()
        .enumerate()
        .filter(|(_, f)| !f.0.is_empty())
        .map(|(n, _)| n)
        .collect();
    assert_eq!(told, [50]);
    assert_eq!(found[50], (vec!["stuck".to_owned()], true));
}

#[test]
fn a_sensor_that_is_missing_is_told_once() {
    let without = |n: i64| Sample {
        sensor: None,
        duty: Some(0.5),
        ..sample(n * 60, 20.0)
    };
    let mut samples = vec![sample(0, 20.0)];
    samples.extend((1..20).map(without));
    samples.push(sample(1200, 30.0));
    let found = heard(&mut Guard::default(), &samples);
    let told: Vec<usize> = found
        .iter()
        .enumerate()
        .filter(|(_, f)| !f.0.is_empty())
        .map(|(n, _)| n)
        .collect();
    assert_eq!(told, [5]);
    assert_eq!(found[5].0, ["absent"]);
}

#[test]
fn duty_meter_and_names() {
    let of = |at: i64, duty: f64, kwh: f64| Sample {
        duty: Some(duty),
        meter: Some(Energy::kwh(kwh)),
        others: vec![
            ("top".to_owned(), Temperature::c(20.0)),
            ("top".to_owned(), Temperature::c(30.0)),
        ],
        ..sample(at, 20.0)
    };
    let mut guard = Guard::default();
    let one = guard.hear(of(0, 1.0, 100.0));
    assert_eq!(
        one.remarks.iter().map(key).collect::<Vec<_>>(),
        ["name-twice!"]
    );
    assert_eq!((one.sample.others.len(), one.sample.duty), (1, Some(1.0)));
    let two = guard.hear(of(60, 35.0, 3.0));
    assert_eq!(
        two.remarks.iter().map(key).collect::<Vec<_>>(),
        ["name-twice!", "duty-out-of-range!", "meter-fell"]
    );
    assert!(two.sample.duty.is_none() && two.sample.meter.is_some());
    let three = guard.hear(of(120, 0.0, 300.0));
    assert!(
        three
            .remarks
            .iter()
            .any(|r| matches!(r.what, What::MeterLeapt { .. }))
    );
    assert!(
        guard
            .hear(of(180, 0.0, -1.0))
            .remarks
            .iter()
            .any(|r| r.part == Part::Meter && r.withheld)
    );
}

fn any_sample() -> impl Strategy<Value = Sample> {
    let c = prop_oneof![4 => -60.0..1900.0, 1 => any::<f64>()].prop_map(Temperature::c);
    let parts = (
        -9_000_000_000_i64..9_000_000_000,
        prop::option::of(c.clone()),
        prop::option::of(c.clone()),
        prop::option::of(any::<f64>()),
        prop::option::of(any::<f64>()),
        prop::collection::vec(("[ab]", c), 0..3),
    );
    parts.prop_map(|(at, sensor, set_point, duty, kwh, others)| Sample {
        at: second(at),
        sensor,
        set_point,
        duty,
        meter: kwh.map(Energy::kwh),
        others,
    })
}

/// What of a sample is there.
fn parts(s: &Sample) -> usize {
    let one = [
        s.sensor.is_some(),
        s.set_point.is_some(),
        s.duty.is_some(),
        s.meter.is_some(),
    ];
    one.into_iter().filter(|b| *b).count() + s.others.len()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_is_changed_and_all_that_is_missing_is_told(samples in prop::collection::vec(any_sample(), 0..40)) {
        let (mut guard, mut again) = (Guard::default(), Guard::default());
        let mut latest = None;
        for sample in samples {
            let heard = guard.hear(sample.clone());
            // By text, since NaN is not itself.
            prop_assert_eq!(format!("{:?}", again.hear(sample.clone())), format!("{heard:?}"));
            prop_assert_eq!(heard.sample.at, sample.at);
            let out = parts(&sample) - parts(&heard.sample);
            let told = heard.remarks.iter().filter(|r| r.withheld).count();
            let whole = heard.remarks.iter().any(|r| r.withheld && r.part == Part::Time);
            prop_assert!(whole || out == told, "{:?}", heard);
            let kept = heard.sample.sensor;
            prop_assert!(kept.is_none() || kept == sample.sensor);
            prop_assert!(heard.sample.duty.is_none_or(|d| (0.0..=1.0).contains(&d)));
            if !whole {
                prop_assert!(latest.is_none_or(|l| l <= sample.at));
                latest = Some(sample.at);
            }
            heard.remarks.iter().for_each(|r| { key(r); });
        }
    }

    #[test]
    fn a_clean_log_passes_without_a_word(
        every in 1_i64..600,
        room in 5.0..40.0,
        pace in 10.0..300.0,
        noise in prop::collection::vec(-1.0..1.0, 300),
        sensors in 0_usize..4,
    ) {
        let mut guard = Guard::default();
        let (mut meter, mut before) = (4000.0, room);
        for (n, noise) in (0..).zip(&noise) {
            let hours = (n * every) as f64 / 3600.0;
            // Up, a hold at 1222 °C, and down.
            let up = room + pace * hours;
            let set = f64::min(up, 1222.0) - (up - 2500.0).max(0.0).min(1200.0 - room);
            let sample = Sample {
                at: second(n * every),
                sensor: Some(Temperature::c(set + noise)),
                set_point: Some(Temperature::c(set)),
                duty: Some(if set > before { 0.8 } else { 0.0 }),
                meter: Some(Energy::kwh(meter)),
                others: (0..sensors).map(|i| (format!("s{i}"), Temperature::c(set + noise * 0.5))).collect(),
            };
            before = set;
            meter += 9.0 * every as f64 / 3600.0;
            let heard = guard.hear(sample.clone());
            prop_assert_eq!(heard.remarks, []);
            prop_assert_eq!(heard.sample, sample);
        }
    }
}
