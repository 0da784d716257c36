//! What is wished of a firing is served, no limit of the ware is broken, and segments of somebody's own are mended.

use glost_heat::firing::{Planned, Wishes, broken_limits, by_hand, mend, plan_for, with_peak};
use glost_model::firing::{Aim, DropHold};
use glost_model::load::{FiringKind, LoadPlan};
use glost_model::piece::{Dryness, Stage};
use glost_model::studio::Studio;
use glost_model::{Rate, Span, TempDiff, Temperature};

use super::demo::{heron, studio};

/// The demo studio before its bisque or before its glaze firing.
fn loads() -> Vec<(Studio, LoadPlan)> {
    let glazed = studio();
    let mut raw = studio();
    for p in &mut raw.pieces {
        p.stage = Stage::Greenware;
        p.dryness = Dryness::BoneDry;
        p.glazes.clear();
    }
    vec![
        (glazed, heron("6", FiringKind::Glaze)),
        (raw, heron("04", FiringKind::Bisque)),
    ]
}

fn planned(studio: &Studio, load: &LoadPlan, wishes: &Wishes) -> Planned {
    let kiln = studio.kiln(&load.kiln).unwrap();
    let p = plan_for(studio, kiln, load, wishes).unwrap();
    let broken = broken_limits(studio, load, &p);
    assert!(broken.is_empty(), "{broken:?}\n{:#?}", p.plan.segments);
    assert!(p.forecast.feasible, "{:?}", p.plan.notes);
    p
}

fn aimed(studio: &Studio, load: &LoadPlan, aim: Aim) -> Planned {
    let wishes = Wishes {
        aim,
        ..Wishes::default()
    };
    planned(studio, load, &wishes)
}

fn hours(p: &Planned) -> f64 {
    p.forecast.peak_over(&p.plan).unwrap().to_h()
}

fn spread(p: &Planned) -> f64 {
    let at = || p.forecast.zones.iter().map(|z| z.cone_position);
    at().fold(f64::NEG_INFINITY, f64::max) - at().fold(f64::INFINITY, f64::min)
}

fn end(load: &LoadPlan) -> Temperature {
    glost_heat::end_point(load.cone, Rate::c_per_h(60.0)).unwrap()
}

fn thickest_mm(studio: &Studio, load: &LoadPlan) -> f64 {
    load.placed()
        .map(|(_, p)| studio.piece(&p.piece).unwrap().wall.to_mm())
        .fold(0.0, f64::max)
}

#[test]
fn a_planned_firing_is_over_before_any_table_that_its_ware_stands() {
    for (studio, load) in loads() {
        let kiln = studio.kiln(&load.kiln).unwrap();
        let p = aimed(&studio, &load, Aim::Soonest);
        let mut beside = 0;
        for table in by_hand(load.kind, end(&load)) {
            if table.for_mm < thickest_mm(&studio, &load) {
                continue;
            }
            let t = with_peak(&studio, kiln, &load, table.segments).unwrap();
            if broken_limits(&studio, &load, &t).is_empty() {
                beside += 1;
                assert!(hours(&p) < hours(&t), "{}: {}", table.name, hours(&t));
            }
        }
        assert!(beside > 0 || load.kind == FiringKind::Bisque);
    }
}

#[test]
fn each_aim_is_served_at_least_as_well_as_by_the_soonest() {
    for (studio, load) in loads() {
        let soonest = aimed(&studio, &load, Aim::Soonest);
        let cheapest = aimed(&studio, &load, Aim::Cheapest);
        let evenest = aimed(&studio, &load, Aim::Evenest);
        assert!(hours(&soonest) <= hours(&cheapest) + 0.05);
        assert!(cheapest.forecast.cost_cents <= soonest.forecast.cost_cents);
        assert!(spread(&evenest) <= spread(&soonest) + 1e-3);
    }
}

#[test]
fn a_price_for_the_highest_draw_is_answered_with_a_lower_one() {
    let (mut studio, load) = loads().remove(0);
    let before = aimed(&studio, &load, Aim::Cheapest);
    studio.tariff.per_kw = 10.0;
    let after = aimed(&studio, &load, Aim::Cheapest);
    let cost = |p: &Planned| glost_heat::firing::cost(&p.forecast, &studio.tariff, None);
    assert!(
        after.forecast.highest_w < before.forecast.highest_w,
        "{:?} {:?}",
        after.forecast.highest_w,
        before.forecast.highest_w
    );
    assert!(cost(&after) < cost(&before));
    let why = |s: &glost_model::firing::Segment| s.reason.contains("highest draw is paid for");
    assert!(after.plan.segments.iter().any(why));
}

#[test]
fn a_wished_fall_and_hold_follows_the_peak() {
    let (studio, load) = loads().remove(0);
    let drop = DropHold {
        by: TempDiff::k(60.0),
        hold: Span::minutes(30.0),
    };
    let wishes = Wishes {
        drop_hold: Some(drop),
        ..Wishes::default()
    };
    let p = planned(&studio, &load, &wishes);
    let peak = p.plan.peak().unwrap();
    let after = &p.plan.segments[peak + 1];
    let fall = p.plan.segments[peak].target - after.target;
    assert!((fall.to_k() - 60.0).abs() < 0.5, "{fall:?}");
    assert_eq!(after.hold, drop.hold);
    // It counts toward the cone: the peak is not as high as without it.
    let without = aimed(&studio, &load, Aim::Soonest);
    assert!(p.forecast.peak_c < without.forecast.peak_c);
}

#[test]
fn what_is_broken_is_mended_and_what_is_right_stays() {
    for (studio, load) in loads() {
        let kiln = studio.kiln(&load.kiln).unwrap();
        for table in by_hand(load.kind, end(&load)) {
            let m = mend(&studio, kiln, &load, table.segments.clone()).unwrap();
            let left = broken_limits(&studio, &load, &m.firing);
            assert!(left.is_empty(), "{}: {left:?}", table.name);
            let again = mend(&studio, kiln, &load, m.firing.plan.segments.clone()).unwrap();
            assert!(again.changes.is_empty(), "{:?}", again.changes);
            assert_eq!(again.firing.plan.segments, m.firing.plan.segments);
        }
        let own = aimed(&studio, &load, Aim::Soonest).plan.segments;
        let m = mend(&studio, kiln, &load, own.clone()).unwrap();
        assert!(m.changes.is_empty(), "{:?}", m.changes);
        assert_eq!(m.firing.plan.segments, own);
    }
}

#[test]
fn every_hold_says_what_it_is_for() {
    let (studio, load) = loads().remove(1);
    let p = aimed(&studio, &load, Aim::Soonest);
    let dries = p
        .plan
        .segments
        .iter()
        .find(|s| s.target < Temperature::c(100.0));
    let dries = dries.expect("bone-dry clay waits below boiling");
    assert!(dries.hold > Span::minutes(10.0));
    assert!(
        dries.reason.contains("Slowest to dry is"),
        "{}",
        dries.reason
    );
}
