//! Kilns with faults, and kilns that changed.

use super::*;

fn strange(number: usize, fault: Option<Planted>, firings: usize) -> Vec<Past> {
    let mut draw = Draw::new(5, number);
    (0..firings)
        .filter_map(|i| {
            let (load, plan) = draw.next_firing()?;
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
    weak[place("power").unwrap()] = -0.1;
    weak[place("sensor").unwrap()] = -0.013;
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
    let sensor = learnt.mean[place("sensor").unwrap()];
    assert!((sensor + 0.013).abs() < 0.003, "{sensor}");
}
