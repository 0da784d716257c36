//! When: shifts, nights, clocks that change, due dates, furniture.

use glost_model::furniture::Furniture;
use glost_model::hours::Hours;
use glost_model::{Money, Span};
use jiff::civil::{date, time};

use super::{Row, asked, at, kiln, row, studio, tried};
use crate::backlog::stock::Used;
use crate::backlog::when::{Days, Job, Slot, slots, times};
use crate::backlog::{Aim, BacklogError, Course};

fn course(peak_h: f64, open_h: f64) -> Course {
    Course {
        peak: Span::h(peak_h),
        open: Span::h(open_h),
        cost: Money::cents(0),
        fit: true,
    }
}

fn plain(hours: &Hours, from: &jiff::ZonedDateTime, jobs: &[(&str, Course)]) -> Vec<Slot> {
    let used = Used::default();
    let jobs: Vec<Job<'_>> = jobs
        .iter()
        .map(|(kiln, course)| Job {
            kiln,
            course: *course,
            used: &used,
        })
        .collect();
    let days = Days::new(hours, from.time_zone());
    let from_s = from.timestamp().as_second();
    slots(&days, from_s, &Furniture::default(), &jobs).unwrap()
}

#[test]
fn work_keeps_to_the_shifts_and_to_one_pair_of_hands() {
    let from = at(2026, 11, 27, 8);
    let two = [("A", course(10.0, 30.0)), ("B", course(10.0, 30.0))];
    let slots = plain(&Hours::default(), &from, &two);
    let told = |s: &Slot| times(s, from.time_zone()).unwrap();
    // Friday: A from 9 to 12, B from 12 to 15; open on Monday morning, one after the other.
    let (a, b) = (told(&slots[0]), told(&slots[1]));
    assert_eq!(
        (a.load, a.start),
        (at(2026, 11, 27, 9), at(2026, 11, 27, 12))
    );
    assert_eq!(b.start, at(2026, 11, 27, 15));
    assert_eq!((a.peak.hour(), a.attended), (22, false));
    assert_eq!(
        (a.open, a.done),
        (at(2026, 11, 30, 9), at(2026, 11, 30, 10))
    );
    assert_eq!(
        (b.open, b.done),
        (at(2026, 11, 30, 10), at(2026, 11, 30, 11))
    );
}

#[test]
fn loading_goes_on_after_a_day_off_and_a_kiln_waits_for_itself() {
    let hours = Hours {
        closed: vec![date(2026, 12, 1)],
        ..Hours::default()
    };
    let from = at(2026, 11, 30, 15);
    let one = course(10.0, 30.0);
    let slots = plain(&hours, &from, &[("A", one), ("A", one)]);
    let told: Vec<_> = slots
        .iter()
        .map(|s| times(s, from.time_zone()).unwrap())
        .collect();
    // Two hours on Monday, the third on Wednesday.
    assert_eq!(told[0].start, at(2026, 12, 2, 10));
    assert_eq!(told[0].open, at(2026, 12, 3, 16));
    // Unloaded when people go home; loaded again in the morning.
    assert_eq!(told[0].done, at(2026, 12, 3, 17));
    assert_eq!(told[1].load, at(2026, 12, 4, 9));
}

#[test]
fn elapsed_hours_count_when_clocks_change() {
    // In the night to 25 October 2026 clocks go back from 3 to 2.
    let hours = Hours {
        week: [Hours::default().week[0]; 7],
        ..Hours::default()
    };
    let from = at(2026, 10, 24, 9);
    let slot = plain(&hours, &from, &[("A", course(10.0, 23.0))]);
    let told = times(&slot[0], from.time_zone()).unwrap();
    assert_eq!(told.start, at(2026, 10, 24, 12));
    // 23 hours after noon it is 10 o'clock, not 11.
    assert_eq!(told.open, at(2026, 10, 25, 10));
    assert_eq!(slot[0].open_s - slot[0].start_s, 23 * 3600);
}

#[test]
fn a_controller_that_starts_by_itself_puts_the_peak_into_a_shift() {
    let hours = Hours {
        delayed_start: true,
        ..Hours::default()
    };
    let from = at(2026, 11, 25, 9);
    let slot = plain(&hours, &from, &[("A", course(10.0, 30.0))]);
    let told = times(&slot[0], from.time_zone()).unwrap();
    assert!(told.attended);
    assert_eq!(told.peak, at(2026, 11, 26, 9));
    assert_eq!(told.start.time(), time(23, 0, 0, 0));
}

#[test]
fn due_ware_goes_first_and_what_is_late_is_told() {
    // One plate a firing: three firings follow one another in the one kiln.
    let mut rows: Vec<Row<'_>> = (0..3).map(|n| row(n, 400, 200)).collect();
    rows[2].due = "2026-11-28";
    rows[1].due = "2026-12-01";
    let low = kiln("Low", 660, 310, "10");
    let backlog = asked(&studio(&low, 18, "", &rows), Aim::Fewest, 1, 8);
    let order: Vec<_> = backlog.firings.iter().map(|f| super::names(f)[0]).collect();
    assert_eq!(order, ["P002", "P001", "P000"]);
    // Wednesday to Friday, then Friday to Monday: unloaded on the last day before each is due.
    assert!(backlog.late.is_empty(), "{:?}", backlog.late);
    rows[2].due = "2026-11-27";
    rows[0].due = "2026-11-20";
    let backlog = asked(&studio(&low, 18, "", &rows), Aim::Fewest, 1, 8);
    let late: Vec<_> = backlog
        .late
        .iter()
        .map(|l| (l.piece.as_str(), l.why.as_str()))
        .collect();
    assert!(
        late.iter()
            .any(|(p, why)| *p == "P000" && why.contains("before the first loading")),
        "{late:?}"
    );
    assert!(
        late.iter()
            .any(|(p, why)| *p == "P002" && why.contains("only be unloaded on")),
        "{late:?}"
    );
}

#[test]
fn kilns_that_want_the_same_posts_follow_one_another() {
    let rows: Vec<Row<'_>> = (0..4).map(|n| row(n, 300, 100)).collect();
    let both = kiln("One", 660, 310, "10") + &kiln("Two", 660, 310, "10");
    let studio = studio(&both, 18, "", &rows);
    let backlog = asked(&studio, Aim::Fewest, 1, 4);
    // A plate a level, two levels a kiln.
    assert_eq!(backlog.firings.len(), 2);
    let used = Used::by(&backlog.firings[0].load);
    assert!(used.within(&studio.furniture));
    let from = at(2026, 11, 25, 9);
    let days = Days::new(&studio.hours, from.time_zone());
    let second = |owned: &Furniture| {
        let jobs = ["One", "Two"].map(|kiln| Job {
            kiln,
            course: course(10.0, 30.0),
            used: &used,
        });
        let slots = slots(&days, from.timestamp().as_second(), owned, &jobs).unwrap();
        (slots[1].waited, slots[1].load_s >= slots[0].done_s)
    };
    assert_eq!(second(&studio.furniture), (false, false));
    // What is left beside the first load holds the second; three posts of a length do not hold both.
    assert!(used.within(&used.left_of(&studio.furniture)));
    let mut short = studio.furniture.clone();
    short.posts.iter_mut().for_each(|p| p.count = 3);
    assert!(used.within(&short));
    assert_eq!(second(&short), (true, true));
}

#[test]
fn nobody_there_is_an_error_with_a_remedy() {
    let mut studio = studio(&kiln("Wren", 660, 690, "10"), 18, "", &[row(0, 100, 100)]);
    studio.hours.week = [None; 7];
    let from = at(2026, 11, 25, 9);
    let told = tried(&studio, Aim::Fewest, 1, 1, &from, &mut |_, _| true).unwrap_err();
    assert_eq!(told, BacklogError::NobodyThere(from.date()));
    assert!(told.to_string().contains("[hours]"), "{told}");
}
