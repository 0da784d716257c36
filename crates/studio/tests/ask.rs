//! What a technician asks of a firing.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::sync::LazyLock;

use glost_model::cone::Cone;
use glost_model::doubt::Limit;
use glost_model::hours::Shift;
use glost_model::load::FiringKind;
use glost_model::plan_file::PlanFile;
use glost_model::tariff::{PriceTime, Tariff};
use glost_model::{Money, Span};
use glost_placing::{PlanAsk, plan_unproved};
use glost_studio::ask::{Answers, AskError, Moment, Question, Start, There, Times, ask};
use glost_studio::{demo_texts, foresee, open_texts};
use jiff::civil::{date, time};
use jiff::{SignedDuration, ToSpan as _, ZonedDateTime};

/// A load of the demo with its firing; somebody is there from nine to five on weekdays, nights are cheap.
static FIRED: LazyLock<PlanFile> = LazyLock::new(|| {
    let (mut studio, book) = open_texts(&demo_texts()).unwrap();
    studio.hours.time_zone = Some("Europe/Dublin".into());
    studio.hours.delayed_start = true;
    studio.tariff.times = vec![PriceTime {
        from: time(23, 0, 0, 0),
        to: time(7, 0, 0, 0),
        days: [true; 7],
        per_kwh: 0.15,
    }];
    let load = plan_unproved(
        &PlanAsk {
            studio: &studio,
            book: &book,
            kiln: "Badger",
            cone: Cone::parse("6").unwrap(),
            kind: FiringKind::Glaze,
            today: date(2026, 11, 2),
            seed: 1,
            rounds: 20,
            worth: None,
        },
        &mut |_, _| true,
    )
    .unwrap();
    let mut file = PlanFile::new(studio, load);
    foresee(&mut file).unwrap();
    file
});

fn zoned(text: &str) -> ZonedDateTime {
    format!("{text}[Europe/Dublin]").parse().unwrap()
}

fn question(now: &str, start: Start) -> Question {
    Question {
        now: zoned(now),
        start,
        hold_more: None,
        ahead: Span::h(24.0),
        draws: 9,
        seed: 1,
    }
}

fn read(text: &str) -> Moment {
    Moment::read(text).unwrap()
}

fn asked(now: &str, start: Start) -> Answers {
    ask(&FIRED, &question(now, start)).unwrap()
}

fn since(at: Option<&ZonedDateTime>, start: &ZonedDateTime) -> f64 {
    at.unwrap().duration_since(start).as_secs_f64()
}

#[test]
fn a_plan_is_foreseen_with_its_doubt_and_old_ones_are_read() {
    let forecast = FIRED.forecast.as_ref().unwrap();
    let doubt = forecast.doubt.as_ref().unwrap();
    assert_eq!(doubt.draws, 24);
    assert!((20..=200).contains(&doubt.curve.len()));
    let (low, high) = (doubt.energy_j.low, doubt.energy_j.high);
    assert!(low < forecast.energy_j && forecast.energy_j < high);
    let words = doubt
        .margin
        .words(FIRED.load.cone, FIRED.studio.shown)
        .join(" ");
    assert!(forecast.notes.join(" ").contains(&words), "{words}");
    let mut old: serde_json::Value = serde_json::to_value(&*FIRED).unwrap();
    old["forecast"].as_object_mut().unwrap().remove("doubt");
    let old = PlanFile::read(&old.to_string(), "old").unwrap();
    assert_eq!(old.forecast.unwrap().doubt, None);
}

/// Clocks go forward on 29 March and back on 25 October 2026: the firing takes as long as ever, and what clocks show
/// is an hour off.
#[test]
fn clocks_that_change_do_not_change_the_firing() {
    let usual = asked("2026-06-01T12:00", Start::At(read("20:00")));
    let spring = asked("2026-03-28T12:00", Start::At(read("20:00")));
    let autumn = asked("2026-10-24T12:00", Start::At(read("20:00")));
    let takes = since(usual.told.peak_over.about.as_ref(), &usual.start);
    let firing = FIRED.firing.as_ref().unwrap();
    let forecast = FIRED.forecast.as_ref().unwrap();
    assert!((takes - forecast.peak_over(firing).unwrap().to_s()).abs() <= 0.5);
    let clock = |a: &Answers| {
        let over = a.told.peak_over.about.clone().unwrap();
        over.datetime()
            .duration_since(a.start.datetime())
            .as_secs_f64()
    };
    for (a, shown_h) in [(&usual, 0.0), (&spring, 1.0), (&autumn, -1.0)] {
        let real = since(a.told.peak_over.about.as_ref(), &a.start);
        assert!((real - takes).abs() < 1e-6);
        assert!((clock(a) - takes - shown_h * 3600.0).abs() < 1e-6);
    }
    // The night has an hour less at the low price in spring and one more in autumn.
    let cost = |a: &Answers| a.told.cost.as_ref().unwrap().about;
    assert!(cost(&spring) > cost(&usual) && cost(&usual) > cost(&autumn));
    // Backwards from a wished end it is the same.
    for (now, wish, offset) in [
        ("2026-03-28T12:00", "2026-03-29T14:00", "+01:00"),
        ("2026-10-24T12:00", "2026-10-25T14:00", "+00:00"),
    ] {
        let by = asked(now, Start::EndBy(read(wish)));
        let end = by.told.over.high.unwrap();
        assert!(end.to_string().contains(offset), "{end}");
        let off = end.duration_since(&zoned(wish)).as_secs_f64();
        assert!(off.abs() <= 1.0, "{end}");
    }
    let skipped = ask(
        &FIRED,
        &question("2026-03-28T12:00", Start::At(read("01:30"))),
    );
    assert!(matches!(skipped, Err(AskError::NoSuchTime { .. })));
    let twice = asked("2026-10-24T12:00", Start::At(read("01:30")));
    assert!(twice.remarks[0].contains("twice"), "{:?}", twice.remarks);
}

#[test]
fn the_end_and_the_opening_are_where_they_were_wished() {
    let now = "2026-11-25T18:30";
    let off = |t: &Times, wish: &str| {
        let high = t.high.as_ref().unwrap();
        high.duration_since(&zoned(wish)).abs()
    };
    let second = SignedDuration::from_secs(1);
    let open = asked(now, Start::OpenBy(read("2026-11-30T09:00")));
    assert!(off(&open.told.open, "2026-11-30T09:00") <= second);
    // A time of day that is too near is that of a later day, and that is said.
    let later = asked(now, Start::OpenBy(read("19:00")));
    assert!(later.start >= zoned(now));
    assert!(later.remarks[0].contains("too late"), "{:?}", later.remarks);
    let late = ask(
        &FIRED,
        &question(now, Start::OpenBy(read("2026-11-26T09:00"))),
    );
    let words = late.unwrap_err().to_string();
    assert!(words.contains("is past"), "{words}");
    let soonest = words.rsplit("that is at ").next().unwrap();
    assert!(soonest.contains("Nov 2026"), "{words}");
}

#[test]
fn the_cheapest_start_is_the_cheapest_that_somebody_can_see_through() {
    for (now, hours) in [("2026-11-25T18:30", 24.0), ("2026-11-27T18:30", 48.0)] {
        let mut q = question(now, Start::Cheapest);
        q.ahead = Span::h(hours);
        let a = ask(&FIRED, &q).unwrap();
        let c = a.cheapest.as_ref().unwrap();
        assert_eq!(a.start, c.start);
        assert_eq!(a.told.cost.as_ref().unwrap().about, c.cost);
        // By trying other starts one by one.
        let forecast = FIRED.forecast.as_ref().unwrap();
        let drawn = forecast.drawn();
        let mut at = zoned(now);
        let mut any = Money::units(1e9);
        while at <= zoned(now) + (hours as i64).hours() {
            let b = asked(
                now,
                Start::At(read(&at.strftime("%Y-%m-%dT%H:%M").to_string())),
            );
            let cost = FIRED.studio.tariff.cost_from(&at, &drawn);
            any = any.min(cost);
            assert!(b.told.there < c.there || (b.told.there == c.there && cost >= c.cost));
            at += 2.hours();
        }
        assert!(c.least.1 <= any && c.least.1 <= c.cost);
        // Over the weekend nobody is there.
        let weekday = now.starts_with("2026-11-25");
        assert_eq!(c.there > There::Nobody, weekday, "{c:?}");
    }
}

#[test]
fn where_nobody_comes_or_nothing_costs_more_at_any_time_it_says_so() {
    let mut file = FIRED.clone();
    file.studio.hours.delayed_start = false;
    file.studio.hours.week = [None; 7];
    let a = ask(&file, &question("2026-11-25T18:30", Start::Cheapest)).unwrap();
    let c = a.cheapest.unwrap();
    assert!(!c.can_start && c.there == There::Nobody);
    assert_eq!(c.cost, c.least.1);
    // Only by hand, with long days: a start that somebody makes, whatever it costs.
    let day = Shift {
        from: time(8, 0, 0, 0),
        to: time(22, 0, 0, 0),
    };
    file.studio.hours.week = [Some(day); 7];
    let a = ask(&file, &question("2026-11-25T18:30", Start::Cheapest)).unwrap();
    let c = a.cheapest.unwrap();
    assert!(c.can_start && c.there == There::Surely, "{c:?}");
    file.studio.tariff = Tariff::flat("EUR", 0.3);
    let flat = ask(&file, &question("2026-11-25T18:30", Start::Cheapest)).unwrap();
    let f = flat.cheapest.unwrap();
    assert_eq!((f.cost, f.dearest), (f.least.1, f.least.1));
    let plain = ask(&file, &question("2026-11-25T18:30", Start::Now)).unwrap();
    assert_eq!(plain.cheapest, None);
    file.studio.tariff = Tariff::flat("EUR", 0.0);
    let free = ask(&file, &question("2026-11-25T18:30", Start::Now)).unwrap();
    assert_eq!(free.told.cost, None);
}

#[test]
fn a_longer_hold_bends_every_cone_further_and_takes_so_much_longer() {
    let mut q = question("2026-11-25T18:30", Start::Now);
    q.hold_more = Some(Span::minutes(20.0));
    let a = ask(&FIRED, &q).unwrap();
    let held = a.held.unwrap();
    assert!((held.later.unwrap().to_minutes() - 20.0).abs() < 0.5);
    assert!(held.dearer.unwrap() > Money::cents(5));
    assert!((held.told.hold - a.told.hold).to_minutes() - 20.0 < 1e-9);
    for (now, was) in held.told.zones.iter().zip(&a.told.zones) {
        assert!(now.about.cone_position > was.about.cone_position + 0.1);
        assert!(now.cone_position.middle > was.cone_position.middle + 0.1);
    }
    q.hold_more = Some(Span::h(-3.0));
    let words = ask(&FIRED, &q).unwrap_err().to_string();
    assert!(words.contains("at most that"), "{words}");
}

#[test]
fn a_kiln_that_stalls_promises_nothing() {
    let mut file = FIRED.clone();
    for k in &mut file.studio.kilns {
        k.element_ageing = 1.9;
    }
    file.forecast = None;
    let a = ask(&file, &question("2026-11-25T18:30", Start::Now)).unwrap();
    assert!(!a.told.feasible);
    assert!(a.told.missed * 2 > a.told.draws, "{}", a.told.missed);
    assert_eq!((a.told.peak_over.about, a.told.open.high), (None, None));
    let Limit::At(limit) = a.margin.reaches else {
        panic!("{:?}", a.margin);
    };
    assert!(limit.power > 1.0);
    let never = ask(
        &file,
        &question("2026-11-25T18:30", Start::EndBy(read("09:00"))),
    );
    assert_eq!(never, Err(AskError::Never("end")));
    file.load.tiers.clear();
    let empty = ask(&file, &question("2026-11-25T18:30", Start::Now));
    assert_eq!(empty, Err(AskError::Empty));
}
