//! Logs that cannot be.

use super::*;

fn unchanged(pasts: &[Past]) {
    let sound = learn(&[own(0, &[0.0; COUNT])], &[], 2);
    for p in pasts {
        let mut with = sound.clone();
        with.take(p, 2);
        let last = with.firings.last().unwrap();
        assert!(last.refused.is_some(), "{last:?}");
        assert_eq!(
            (&with.mean, &with.covariance),
            (&sound.mean, &sound.covariance)
        );
        assert!(with.can_be_used());
    }
}

#[test]
fn logs_that_cannot_be_are_refused_with_why_and_change_nothing() {
    let good = own(1, &[0.0; COUNT]);
    let with = |change: &dyn Fn(&mut Past)| {
        let mut p = good.clone();
        change(&mut p);
        p
    };
    unchanged(&[
        with(&|p| p.log.clear()),
        with(&|p| p.log.truncate(5)),
        with(&|p| p.log.iter_mut().for_each(|s| s.sensor = None)),
        with(&|p| {
            p.log
                .iter_mut()
                .for_each(|s| s.sensor = Some(Temperature::c(f64::NAN)))
        }),
        with(&|p| {
            p.log
                .iter_mut()
                .for_each(|s| s.sensor = Some(Temperature::c(20.0)))
        }),
        with(&|p| p.plan.segments.clear()),
        with(&|p| p.plan.segments[0].target = Temperature::c(f64::NAN)),
        with(&|p| p.input.height = glost_model::Length::ZERO),
        with(&|p| p.input.ageing = f64::NAN),
        with(&|p| p.bad.push((Timestamp::MIN, Timestamp::MAX))),
    ]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]
    #[test]
    fn no_log_makes_it_panic_or_leaves_it_unusable(
        readings in proptest::collection::vec(
            (-100_000i64..400_000, prop_oneof![-100.0f64..2500.0, Just(f64::NAN), Just(f64::INFINITY)],
             prop_oneof![Just(f64::NAN), -1.0f64..2.0], prop_oneof![Just(f64::NAN), -1e9f64..1e9]),
            0..80,
        ),
        clock in prop_oneof![-30.0f64..30.0, Just(f64::NAN)],
        energy in prop_oneof![-1e9f64..1e9, Just(f64::NAN)],
    ) {
        let start = Draw::start(0);
        let log = readings.iter().map(|(t, c, duty, meter)| {
            let at = start + SignedDuration::from_secs(*t);
            let mut s = Sample::of_sensor(at, Temperature::c(*c));
            s.duty = Some(*duty);
            s.meter = Some(glost_model::Energy::j(*meter));
            s
        });
        let cone = ConeRead {
            tier: "2".into(),
            cone: Cone::parse("6").unwrap(),
            clock,
            who: String::new(),
            at: start,
        };
        let p = Past {
            id: "any".into(),
            at: start,
            input: base(),
            plan: glaze(120.0),
            log: log.collect(),
            bad: Vec::new(),
            cones: vec![cone],
            energy: Some(glost_model::Energy::j(energy)),
        };
        let learnt = learn(&[p], &[], 2);
        prop_assert!(learnt.can_be_used());
        prop_assert!(learnt.mean.iter().all(|m| m.is_finite()));
        if learnt.used() == 0 {
            prop_assert_eq!(learnt.mean, Learnt::nothing().mean);
        }
    }
}
