use glost_model::Span;
use glost_model::Temperature;
use glost_model::book::upkeep::Count;
use glost_model::doubt::{Limit, PowerLimit};
use glost_model::readings::Sample;
use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;

use super::*;

fn limit(power: f64) -> Limit {
    Limit::At(PowerLimit {
        power,
        ageing: 1.0 / power,
        mains: power.sqrt(),
        stalls_c: None,
    })
}

fn ageing(each: f64, firings: u32) -> Vec<PowerSeen> {
    let seen = (0..firings).map(|firing| PowerSeen {
        firing,
        ln_power: 0.03 + each * f64::from(firing),
        deviation: 0.02,
    });
    seen.collect()
}

#[test]
fn a_straight_line_is_found() {
    let t = trend(&ageing(-0.006, 40), None, 40);
    assert!((t.each.0 + 0.006).abs() < 2e-4, "{t:?}");
    assert!((t.now.0 - (0.03 - 0.24)).abs() < 0.01 && t.firings == 40);
    let left = firings_left(&t, &limit(0.9));
    // ln 0.9 / −0.006.
    let about = left.middle.unwrap();
    assert!((16..=19).contains(&about), "{left:?}");
    assert!(left.low.unwrap() < about && left.high.unwrap() > about);
    assert_eq!(
        words(&left),
        format!(
            "in about {about} firings ({} to {})",
            left.low.unwrap(),
            left.high.unwrap()
        )
    );
}

#[test]
fn before_anything_is_seen_elements_age_as_elements_do() {
    let t = trend(&[], None, 0);
    assert!((t.each.0 + 0.003).abs() < 1e-12 && t.firings == 0);
    let left = firings_left(&t, &limit(0.9));
    assert!(left.middle.is_some_and(|n| (30..45).contains(&n)));
    assert_eq!(left.high, None, "nobody can say");
}

#[test]
fn a_meter_counts_for_more_than_the_prior() {
    let t = trend(
        &[],
        Some(Ohms {
            ratio: 1.08,
            firings: 10,
        }),
        10,
    );
    assert!((t.each.0 + 1.08f64.ln() / 10.0).abs() < 1e-3, "{t:?}");
    let nonsense = Ohms {
        ratio: f64::NAN,
        firings: 10,
    };
    assert_eq!(trend(&[], Some(nonsense), 10), trend(&[], None, 10));
}

#[test]
fn a_kiln_that_is_too_weak_already_has_none_left() {
    let t = trend(&ageing(-0.006, 10), None, 10);
    assert_eq!(firings_left(&t, &limit(1.05)).middle, Some(0));
    assert_eq!(words(&firings_left(&t, &limit(1.05))), "now");
    assert!(firings_left(&t, &Limit::Far).middle.is_some_and(|n| n > 80));
}

#[test]
fn sensors_and_relays_are_used_up() {
    let count = Count {
        firings: 20,
        weighed: 60.0,
        ..Count::default()
    };
    // 150 − 60 at three a firing.
    assert_eq!(sensor_left(&count).unwrap().middle, Some(30));
    assert_eq!(sensor_left(&Count::default()), None);
    assert_eq!(relays_left(50_000, 50).unwrap().middle, Some(50));
    assert_eq!(relays_left(0, 0), None);
    let start = Timestamp::UNIX_EPOCH;
    let at = |minutes: i64, duty: f64| {
        let mut s = Sample::of_sensor(
            start + SignedDuration::from_mins(minutes),
            Temperature::c(500.0),
        );
        s.duty = Some(duty);
        s
    };
    let log = [
        at(0, 0.5),
        at(10, 0.5),
        at(20, 1.0),
        at(30, 0.0),
        at(300, 0.5),
    ];
    assert_eq!(relay_cycles(&log, Span::s(20.0)), 30);
    assert_eq!(relay_cycles(&log, Span::ZERO), 0);
    assert_eq!(relay_cycles(&[], Span::s(20.0)), 0);
}

proptest! {
    #[test]
    fn less_in_hand_never_lasts_longer(
        each in -0.02f64..0.002,
        count in 0u32..60,
        a in 0.6f64..1.1,
        b in 0.6f64..1.1,
    ) {
        let t = trend(&ageing(each, count), None, count);
        let (weak, strong) = (firings_left(&t, &limit(a.max(b))), firings_left(&t, &limit(a.min(b))));
        let n = |n: Option<u32>| n.unwrap_or(u32::MAX);
        for (w, s) in [(weak.low, strong.low), (weak.middle, strong.middle), (weak.high, strong.high)] {
            prop_assert!(n(w) <= n(s));
        }
        prop_assert!(n(weak.low) <= n(weak.middle) && n(weak.middle) <= n(weak.high));
    }
}
