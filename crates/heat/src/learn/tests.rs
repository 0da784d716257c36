use glost_model::book::fired::ConeRead;
use glost_model::book::upkeep::{Upkeep, Wearing};
use glost_model::cone::Cone;
use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::readings::Sample;
use glost_model::shown::Shown;
use glost_model::{Span, Temperature};
use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use rand::RngExt as _;
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

use super::known::moved;
use super::trial::{Ask, Draw, Off, Trial, Way, figures, past, trial};
use super::*;
use crate::Clock;
use crate::kiln::{Extent, KilnInput, KilnModel, simulate};
use crate::strange::{Fault, Planted};
use crate::validation::kilns::{REFERENCE, Sizes, kiln, plan, tariff};

fn base() -> KilnInput {
    kiln(&Sizes {
        kw: 9.5,
        brick_mm: 76.0,
        ..REFERENCE
    })
}

fn glaze(rate: f64) -> FiringPlan {
    let segments = [
        (80.0, 110.0, 30.0),
        (rate, 1100.0, 0.0),
        (70.0, 1215.0, 10.0),
    ];
    plan("6", &segments).unwrap()
}

/// A log of the model's own forecast, with noise, as a controller writes it.
fn logged(forecast: &Forecast, at: Timestamp, rng: &mut ChaCha8Rng) -> Vec<Sample> {
    let samples = forecast.samples.iter();
    samples
        .map(|s| {
            let seconds = SignedDuration::from_secs(s.time_s.to_s().round() as i64);
            let noise = rng.random_range(-1.0..1.0);
            let read = Temperature::c((s.sensor_c.to_c() + noise).round());
            let mut sample = Sample::of_sensor(at + seconds, read);
            sample.meter = Some(s.energy_j);
            sample
        })
        .collect()
}

/// The cone that tells most of a tier, read as it stands.
fn read(forecast: &Forecast, at: Timestamp) -> Vec<ConeRead> {
    let bent = |place: f64| {
        let cone = Cone::from_position(place.floor() + 1.0)?;
        let hours = (0..=60).map(|h| f64::from(h) / 10.0);
        let off = |h: &f64| {
            let told = Clock::read(*h).and_then(|c| c.place(cone));
            told.map_or(f64::INFINITY, |p| (p - place).abs())
        };
        let clock = hours.min_by(|a, b| off(a).total_cmp(&off(b)))?;
        Some((cone, clock))
    };
    let zones = forecast.zones.iter();
    zones
        .filter_map(|z| {
            let (cone, clock) = bent(z.cone_position)?;
            Some(ConeRead {
                tier: z.tiers.clone(),
                cone,
                clock,
                who: "a test".into(),
                at,
            })
        })
        .collect()
}

fn own(number: usize, shifts: &[f64]) -> Past {
    let mut rng = ChaCha8Rng::seed_from_u64(number as u64);
    let plan = glaze(110.0 + 25.0 * number as f64);
    let model = KilnModel::new(moved(&base(), shifts)).unwrap();
    let forecast = simulate(&model, &plan, &tariff(), Extent::Cooling).unwrap();
    let at = Draw::start(number);
    Past {
        id: number.to_string(),
        at,
        input: base(),
        log: logged(&forecast, at, &mut rng),
        cones: read(&forecast, at),
        plan,
        bad: Vec::new(),
        energy: None,
    }
}

#[test]
fn what_a_log_was_made_with_comes_back() {
    for (what, size) in [
        ("power", -0.08),
        ("lining", 0.2),
        ("sensor", 0.006),
        ("load", 0.1),
    ] {
        let mut shifts = vec![0.0; COUNT];
        shifts[place(what).unwrap()] = size;
        let pasts: Vec<Past> = (0..3).map(|i| own(i, &shifts)).collect();
        let learnt = learn(&pasts, &[], 2);
        assert_eq!(learnt.used(), 3, "{what}: {:?}", learnt.firings);
        for (p, real) in learnt.parameters(Shown::default()).iter().zip(&shifts) {
            let off = (p.value - real).abs();
            assert!(
                off < 2.0 * p.deviation + 0.2 * p.before,
                "{what}: {p:?} for {real}"
            );
            if p.id == what {
                assert!(off < 0.35 * size.abs(), "{what}: {p:?} for {real}");
                assert!(p.deviation < 0.7 * p.before, "{what}: {p:?}");
            }
        }
    }
}

fn tried() -> Trial {
    trial(&Ask {
        kilns: 6,
        seed: 77,
        threads: 2,
        firings: 4,
    })
}

#[test]
fn firings_of_other_kilns_are_foretold_better_than_by_priors_or_by_the_last_firing() {
    let t = tried();
    let of = |way: Way, from: usize| {
        t.cases
            .iter()
            .filter(move |c| c.way == way && c.after >= from)
    };
    let cone = |way| figures(of(way, 2).flat_map(|c| &c.cones));
    let energy = |way| figures(of(way, 2).map(|c| &c.energy));
    let peak = |way| figures(of(way, 2).filter_map(|c| c.peak.as_ref()));
    let (prior, carried, learnt) = (Way::Prior, Way::CarriedOver, Way::Learnt);
    println!("{:?} {:?} {:?}", cone(prior), cone(carried), cone(learnt));
    println!(
        "{:?} {:?} {:?}",
        energy(prior),
        energy(carried),
        energy(learnt)
    );
    println!("{:?} {:?} {:?}", peak(prior), peak(carried), peak(learnt));
    assert!(cone(learnt).root < 0.65 * cone(prior).root);
    assert!(energy(learnt).root < 0.5 * energy(prior).root);
    assert!(peak(learnt).root < 0.8 * peak(prior).root);
    assert!(cone(learnt).root < cone(carried).root);
    // Bands of eight in ten hold about that many.
    for figures in [cone(learnt), energy(learnt), peak(learnt)] {
        assert!(figures.within.is_some_and(|w| w >= 0.6), "{figures:?}");
    }
    let told = t.learnt.iter().filter_map(Learnt::foretold);
    assert!(told.clone().count() >= 5);
    for f in told {
        assert!(
            f.words().starts_with("foretold within") && f.cone.is_some(),
            "{}",
            f.words()
        );
    }
}

#[test]
fn the_answer_is_the_same_whatever_the_threads_and_the_order() {
    let shifts = vec![0.0; COUNT];
    let mut pasts: Vec<Past> = (0..3).map(|i| own(i, &shifts)).collect();
    let one = learn(&pasts, &[], 1);
    pasts.reverse();
    assert_eq!(one, learn(&pasts, &[], 3));
    let mut by_one = Learnt::nothing();
    for p in pasts.iter().rev() {
        by_one.take(p, 2);
    }
    assert_eq!(one, by_one);
}

#[test]
fn it_is_kept_and_read_back_to_the_last_bit() {
    let learnt = learn(&[own(0, &[0.0; COUNT])], &[], 2);
    let text = serde_json::to_string(&learnt).unwrap();
    let back: Learnt = serde_json::from_str(&text).unwrap();
    assert_eq!(back, learnt);
    assert!(back.can_be_used() && Learnt::nothing().can_be_used());
    let old = Learnt {
        version: VERSION + 1,
        ..back.clone()
    };
    assert!(!old.can_be_used());
    let mut broken = back;
    broken.covariance[0][0] = -1.0;
    assert!(!broken.can_be_used());
}

fn strange(number: usize, fault: Option<Planted>, firings: usize) -> Vec<Past> {
    let mut draw = Draw::new(5, number);
    (0..firings)
        .filter_map(|i| {
            let (load, plan) = draw.next()?;
            let faults: Vec<Planted> = fault.into_iter().filter(|_| i + 1 == firings).collect();
            let fired = draw
                .kiln
                .fire(&plan, &load, &faults, Draw::start(i), Span::minutes(2.0));
            Some(past(i, &load, &plan, &fired))
        })
        .collect()
}

#[test]
fn a_firing_with_a_fault_does_not_poison_what_was_learnt() {
    let sound = learn(&strange(0, None, 3), &[], 2);
    for (fault, how_much) in [
        (Fault::ElementOut(1), 1.0),
        (Fault::Stall, 0.4),
        (Fault::SensorSlips, 0.8),
        (Fault::LidOpen, 0.4),
        (Fault::SensorReversed, 1.0),
        (Fault::SensorOpen, 1.0),
    ] {
        let planted = Planted {
            fault,
            at: Span::h(4.0),
            how_much,
        };
        let with = learn(&strange(0, Some(planted), 3), &[], 2);
        println!(
            "{fault:?}: {:?}",
            with.firings.last().and_then(|f| f.refused.clone())
        );
        for (k, (a, b)) in KNOWN.iter().zip(with.mean.iter().zip(&sound.mean)) {
            let far = (a - b).abs() / k.prior.width;
            assert!(
                far < 1.0,
                "{fault:?}: {} moved by {far:.2} widths",
                k.prior.id
            );
        }
    }
}

#[test]
fn a_kiln_that_changed_is_believed_the_second_time() {
    let shifts = vec![0.0; COUNT];
    let mut weak = shifts.clone();
    weak[place("power").unwrap()] = -0.14;
    let mut pasts: Vec<Past> = (0..3).map(|i| own(i, &shifts)).collect();
    pasts.extend(
        (3..6)
            .map(|i| own(i % 3, &weak))
            .zip(3..)
            .map(|(mut p, i)| {
                let by = Draw::start(i).duration_since(p.at);
                p.at += by;
                p.log.iter_mut().for_each(|s| s.at += by);
                p.id = i.to_string();
                p
            }),
    );
    let learnt = learn(&pasts, &[], 2);
    let refused: Vec<bool> = learnt.firings.iter().map(|f| f.refused.is_some()).collect();
    assert_eq!(
        refused,
        [false, false, false, true, false, false],
        "{:?}",
        learnt.firings
    );
    let power = learnt.mean[place("power").unwrap()];
    assert!((power + 0.14).abs() < 0.05, "{power}");
}

#[test]
fn a_marked_stretch_and_a_gap_are_passed_over() {
    let mut one = own(1, &[0.0; COUNT]);
    let (from, to) = (
        one.at + SignedDuration::from_hours(5),
        one.at + SignedDuration::from_hours(7),
    );
    for s in one.log.iter_mut().filter(|s| (from..to).contains(&s.at)) {
        s.sensor = Some(Temperature::c(300.0));
        s.meter = None;
    }
    one.bad.push((from, to));
    let learnt = learn(std::slice::from_ref(&one), &[], 2);
    assert_eq!(learnt.used(), 1, "{:?}", learnt.firings);
    one.log.retain(|s| !(from..to).contains(&s.at));
    one.bad.clear();
    let gap = learn(&[one], &[], 2);
    assert_eq!(gap.used(), 1, "{:?}", gap.firings);
    for (k, v) in KNOWN.iter().zip(&gap.mean) {
        assert!(v.abs() < 0.5 * k.prior.width, "{} {v}", k.prior.id);
    }
}

#[test]
fn new_elements_and_a_new_sensor_begin_anew() {
    let mut shifts = vec![0.0; COUNT];
    shifts[place("power").unwrap()] = -0.08;
    shifts[place("sensor").unwrap()] = 0.006;
    let pasts: Vec<Past> = (0..2).map(|i| own(i, &shifts)).collect();
    let entry = |what| Upkeep {
        id: "u".into(),
        kiln: "k".into(),
        what,
        band: None,
        value: None,
        at: Draw::start(5),
        who: "p".into(),
        words: String::new(),
    };
    let before = learn(&pasts, &[], 2);
    let after = learn(
        &pasts,
        &[entry(Wearing::Elements), entry(Wearing::Sensor)],
        2,
    );
    let width = |l: &Learnt, id: &str| {
        let all = l.parameters(Shown::default());
        all.iter()
            .find(|p| p.id == id)
            .map(|p| (p.value, p.deviation))
            .unwrap()
    };
    for id in ["power", "sensor"] {
        assert!(width(&before, id).0.abs() > 0.5 * width(&before, id).1);
        let (value, deviation) = width(&after, id);
        assert!(
            value.abs() < 1e-12
                && (deviation - KNOWN[place(id).unwrap()].prior.width).abs() < 1e-12
        );
    }
    assert_eq!(width(&before, "lining").0, width(&after, "lining").0);
    assert!(after.can_be_used());
}

/// Elements that somebody reads the ohms of and types in are not taken off twice.
#[test]
fn ageing_that_is_typed_in_later_changes_no_power() {
    let mut shifts = vec![0.0; COUNT];
    shifts[place("power").unwrap()] = -0.08;
    let learnt = learn(&[own(0, &shifts), own(1, &shifts)], &[], 2);
    let power = |ageing: f64| {
        let mut input = base();
        input.ageing = ageing;
        learnt.apply(&mut input);
        input.tuning.power / input.ageing
    };
    assert!((power(1.0) / power(1.08) - 1.0).abs() < 1e-12);
    assert!((power(1.0) - (-0.08f64).exp()).abs() < 0.03);
}

#[test]
fn before_the_first_firing_it_says_nothing_and_changes_nothing() {
    let none = learn(&[], &[], 2);
    assert_eq!(none, Learnt::nothing());
    let mut input = base();
    none.apply(&mut input);
    assert_eq!(input, base());
    assert!(none.foretold().is_none());
    for p in none.parameters(Shown::default()) {
        assert!(
            p.words.ends_with("is not known better than before"),
            "{}",
            p.words
        );
    }
    let belief = none.belief_for(&base()).unwrap();
    assert_eq!(belief.len(), COUNT);
}

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

#[test]
fn figures_of_nothing_are_no_figures() {
    let none: [Off; 0] = [];
    let f = figures(none.iter());
    assert!(f.count == 0 && f.root.is_nan() && f.within.is_none());
}
