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
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

mod bad;
mod changed;

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
    assert!((width(&before, "lining").0 - width(&after, "lining").0).abs() < 1e-15);
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

#[test]
fn figures_of_nothing_are_no_figures() {
    let none: [Off; 0] = [];
    let f = figures(none.iter());
    assert!(f.count == 0 && f.root.is_nan() && f.within.is_none());
}
