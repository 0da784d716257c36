//! The reference kiln with smaller cells and shorter steps, and where its energy goes.

use super::kilns::{REFERENCE, SMALL, Sizes, kiln, long_firing, plan, small_firing, tariff};
use super::{Case, Group, Of};
use crate::kiln::{Accuracy, Extent, KilnModel, simulate, simulate_as};
use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;

fn cone_six() -> Option<FiringPlan> {
    plan("6", &[(150.0, 1100.0, 0.0), (60.0, 1208.0, 10.0)])
}

fn fired(fineness: usize, accuracy: Accuracy) -> Option<Forecast> {
    let mut input = kiln(&REFERENCE);
    input.tuning.fineness = fineness;
    let model = KilnModel::new(input).ok()?;
    simulate_as(&model, &cone_six()?, &tariff(), Extent::Cooling, accuracy)
        .ok()
        .map(|(forecast, _)| forecast)
}

/// Greatest difference of a tier at one instant, and both its temperatures, °C.
fn furthest(a: &Forecast, b: &Forecast, tier: usize) -> (f64, f64) {
    let both = a.samples.iter().filter_map(|s| {
        let same = |o: &&glost_model::forecast::Sample| (o.time_s - s.time_s).to_s().abs() < 1e-3;
        let other = b.samples.iter().find(same)?;
        Some((s.ware_c.get(tier)?.to_c(), other.ware_c.get(tier)?.to_c()))
    });
    both.max_by(|x, y| (x.0 - x.1).abs().total_cmp(&(y.0 - y.1).abs()))
        .unwrap_or((f64::NAN, f64::NAN))
}

pub fn group() -> Group {
    let usual = fired(1, Accuracy::USUAL);
    let mut cases = Vec::new();
    for (what, source, other) in [
        (
            "cells halved",
            "Glost with cells of half the size",
            fired(2, Accuracy::USUAL),
        ),
        (
            "steps cut",
            "Glost with steps of 60 s at most and tolerances 100 times smaller",
            fired(1, Accuracy::FINE),
        ),
    ] {
        let of = Of(source, "°C", 1.0);
        let (Some(a), Some(b)) = (&usual, &other) else {
            cases.push(of.case(what, f64::NAN, 0.0));
            continue;
        };
        for tier in 0..a.zones.len() {
            let (ours, finer) = furthest(a, b, tier);
            cases.push(of.case(
                format!("{what}: tier {}, worst instant", tier + 1),
                ours,
                finer,
            ));
        }
        let (ours, finer) = (a.energy_j.to_kwh(), b.energy_j.to_kwh());
        cases.push(Of(source, "kWh", finer * 0.01).case(format!("{what}: energy"), ours, finer));
    }
    Group {
        name: "Halving",
        what: "The reference kiln of 0.2 m³ with four tiers to cone 6: answers must not hang on cells or steps.",
        cases,
    }
}

pub fn closure() -> Group {
    let of = Of("first law", "%", 0.1);
    let balance = |name: &str, sizes: &Sizes, plan: Option<FiringPlan>| {
        let off = || {
            let model = KilnModel::new(kiln(sizes)).ok()?;
            let f = simulate(&model, &plan?, &tariff(), Extent::Cooling).ok()?;
            let s = &f.split;
            let known = s.lost_j + s.vent_j + s.stored_j + s.reactions_j;
            Some(known.to_j() / f.energy_j.to_j() * 100.0)
        };
        of.case(
            format!("{name}: lost, vented, stored and used up, of what was drawn"),
            off().unwrap_or(f64::NAN),
            100.0,
        )
    };
    let cases: Vec<Case> = vec![
        balance("small kiln", &SMALL, small_firing()),
        balance("reference kiln to cone 6", &REFERENCE, cone_six()),
        balance("reference kiln, 60 h", &REFERENCE, long_firing()),
    ];
    Group {
        name: "Energy",
        what: "All energy is accounted for.",
        cases,
    }
}
