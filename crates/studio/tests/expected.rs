//! Days on which waiting ware is expected back.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::{Area, Span};
use glost_studio::expected::{Expected, OpenFiring, PastFiring, Waiting, expected};
use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use proptest::prelude::*;
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

const TODAY: Date = date(2026, 11, 26);

fn cone(name: &str) -> Cone {
    Cone::parse(name).unwrap()
}

fn day(back: i64) -> Date {
    TODAY - back.days()
}

/// A glaze firing of half a square metre, so many days ago.
fn fired(back: i64) -> PastFiring {
    PastFiring {
        on: day(back),
        kiln: "Heron".into(),
        kind: FiringKind::Glaze,
        cone: cone("6"),
        pieces: 50,
        area: Area::m2(0.5),
    }
}

/// A piece of a twentieth of a square metre that came in so many days ago.
fn waits(id: &str, back: i64) -> Waiting {
    Waiting {
        id: id.into(),
        kind: FiringKind::Glaze,
        cone: cone("5"),
        came_in: Some(day(back)),
        area: Area::m2(0.05),
    }
}

fn weekly() -> Vec<PastFiring> {
    [29, 22, 15, 9, 1].map(fired).into()
}

fn of<'a>(all: &'a [(String, Expected)], id: &str) -> &'a Expected {
    &all.iter().find(|(i, _)| i == id).unwrap().1
}

#[test]
fn a_piece_at_the_head_goes_with_the_next_firing_of_its_sort() {
    let all = expected(TODAY, &[waits("A", 3)], &weekly(), &[]);
    let a = of(&all, "A");
    // Gaps of 7, 7, 6 and 8 days: 7 on average, 0.82 apart. One gap of four: t 1.64, so ± 1.5 days;
    // the next is due 6 days from now and out two days later.
    assert_eq!(a.band, Some((day(-6), day(-10))));
    assert_eq!(
        a.words,
        "nothing waits before it: back between 2026-12-02 and 2026-12-06 if glaze firings (mid fire) \
         go on coming about every 7 days (5 in the past 12 weeks) and it fits"
    );
}

#[test]
fn a_piece_behind_a_load_goes_one_later() {
    let mut queue: Vec<Waiting> = (0..10).map(|i| waits(&format!("B{i}"), 20)).collect();
    queue.push(waits("A", 3));
    let all = expected(TODAY, &queue, &weekly(), &[]);
    // Two gaps: ± 1.64 · 0.82 · √3 = 2.3 days about the 13th day.
    assert_eq!(of(&all, "A").band, Some((day(-12), day(-18))));
    assert!(of(&all, "A").words.starts_with("10 pieces wait before it"));
    // The tenth of the ten just fills the first load.
    assert_eq!(of(&all, "B9").band, Some((day(-6), day(-10))));
    assert_eq!(all.len(), 11);
    assert_eq!(all[10].0, "A");
}

#[test]
fn other_sorts_neither_help_nor_hinder() {
    let mut past = weekly();
    past.push(PastFiring {
        cone: cone("06"),
        ..fired(2)
    });
    past.push(PastFiring {
        kind: FiringKind::Bisque,
        cone: cone("6"),
        ..fired(3)
    });
    let low = Waiting {
        cone: cone("06"),
        ..waits("L", 60)
    };
    let green = Waiting {
        kind: FiringKind::Bisque,
        area: Area::m2(9.0),
        ..waits("G", 70)
    };
    let all = expected(TODAY, &[low, green, waits("A", 3)], &past, &[]);
    assert_eq!(of(&all, "A").band, Some((day(-6), day(-10))));
    let low = of(&all, "L");
    assert_eq!(low.band, None);
    assert_eq!(
        low.words,
        "no date yet: there was 1 glaze firing (low fire) in the past 12 weeks, and it takes 3 to tell how often they come"
    );
    assert!(
        of(&all, "G")
            .words
            .starts_with("no date yet: there was 1 bisque firing")
    );
}

#[test]
fn too_little_past_gives_no_date() {
    let none = |past: &[PastFiring]| {
        let all = expected(TODAY, &[waits("A", 3)], past, &[]);
        assert_eq!(all[0].1.band, None);
        all[0].1.words.clone()
    };
    assert!(none(&[]).contains("there were 0 glaze firings"));
    assert!(none(&[fired(9), fired(2)]).contains("there were 2 "));
    assert!(none(&[fired(100), fired(90), fired(2)]).contains("there was 1 "));
    assert!(none(&[fired(2), fired(2), fired(2)]).contains("there were 3, all on one day, glaze"));
    let bare = [20, 10, 2].map(|b| PastFiring {
        area: Area::ZERO,
        pieces: 0,
        ..fired(b)
    });
    assert!(none(&bare).contains("do not say how much"));
    let late = Waiting {
        area: Area::m2(500.0),
        ..waits("Z", 50)
    };
    let all = expected(TODAY, &[late, waits("A", 3)], &weekly(), &[]);
    assert!(of(&all, "A").words.contains("would take a year"));
}

#[test]
fn without_areas_pieces_are_counted() {
    let past = [29, 22, 15, 9, 1].map(|b| PastFiring {
        area: Area::ZERO,
        pieces: 2,
        ..fired(b)
    });
    let queue = [waits("B", 9), waits("C", 8), waits("A", 3)];
    let all = expected(TODAY, &queue, &past, &[]);
    assert_eq!(of(&all, "C").band, Some((day(-6), day(-10))));
    assert_eq!(of(&all, "A").band, Some((day(-12), day(-18))));
}

#[test]
fn planned_pieces_have_their_firing_and_its_cooling() {
    let open = OpenFiring {
        on: day(-2),
        kiln: "Badger".into(),
        kind: FiringKind::Glaze,
        cone: cone("6"),
        out_after: Span::h(31.0),
        pieces: vec!["B".into()],
    };
    let queue = [waits("B", 9), waits("A", 3)];
    let all = expected(TODAY, &queue, &weekly(), &[open]);
    let out = of(&all, "B");
    assert_eq!(out.band, Some((day(-4), day(-4))));
    assert_eq!(
        out.words,
        "it is in the firing of Badger on 2026-11-28, cold and out by 2026-11-30"
    );
    // The next after it is a week later.
    let (from, to) = of(&all, "A").band.unwrap();
    assert_eq!((from, to), (day(-9), day(-13)));
}

#[test]
fn a_firing_that_is_overdue_is_due_now_and_less_sure() {
    let past = [43, 36, 29, 22].map(fired);
    let all = expected(TODAY, &[waits("A", 3)], &past, &[]);
    let (from, to) = all[0].1.band.unwrap();
    // Three gaps of 7 days, and one of 22 that is not over.
    assert_eq!(from, day(-2));
    assert!(to > day(-14), "{to}");
}

/// Gaps between firings as a studio has them, 2 to 12 days.
fn gaps(rng: &mut ChaCha8Rng, count: usize) -> Vec<i64> {
    let dice = |rng: &mut ChaCha8Rng| rng.random_range(1..=6_i64);
    (0..count).map(|_| dice(rng) + dice(rng)).collect()
}

#[test]
fn four_of_five_pieces_come_back_within_their_band() {
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    for loads in [1_usize, 2, 4] {
        let (mut hit, mut early) = (0, 0);
        for _ in 0..2000 {
            let (before, after) = (gaps(&mut rng, 7), gaps(&mut rng, loads));
            let mut back = 0;
            let mut past = vec![fired(0)];
            for gap in before {
                back += gap;
                past.push(fired(back));
            }
            let mut queue: Vec<Waiting> = (1..loads)
                .map(|i| Waiting {
                    area: Area::m2(0.5),
                    ..waits(&format!("B{i}"), 30)
                })
                .collect();
            queue.push(waits("A", 3));
            let all = expected(TODAY, &queue, &past, &[]);
            let (from, to) = of(&all, "A").band.unwrap();
            let out = day(-after.iter().sum::<i64>() - 2);
            hit += u32::from((from..=to).contains(&out));
            early += u32::from(out < from);
        }
        // Whole days make the band a little wider than four of five.
        let share = f64::from(hit) / 2000.0;
        assert!((0.79..0.93).contains(&share), "{loads}: {share}");
        assert!(early < 260, "{loads}: {early}");
    }
}

fn any_past() -> impl Strategy<Value = Vec<PastFiring>> {
    let firing = (0..80_i64, 0..60_usize, 0.0..1.0_f64);
    prop::collection::vec(firing, 0..15).prop_map(|all| {
        let made = all.into_iter().map(|(back, pieces, area)| PastFiring {
            pieces,
            area: Area::m2(area),
            ..fired(back)
        });
        made.collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn more_ware_before_a_piece_never_makes_it_earlier(
        past in any_past(),
        queue in prop::collection::vec((4..90_i64, 0.0..0.9_f64), 0..30),
        planned in prop::option::of((-3..20_i64, 0.0..90.0_f64)),
    ) {
        let open: Vec<OpenFiring> = planned
            .map(|(ahead, hours)| OpenFiring {
                on: day(-ahead),
                kiln: "Heron".into(),
                kind: FiringKind::Glaze,
                cone: cone("6"),
                out_after: Span::h(hours),
                pieces: vec!["B0".into()],
            })
            .into_iter()
            .collect();
        let ware: Vec<Waiting> = queue
            .iter()
            .enumerate()
            .map(|(i, (back, area))| Waiting { area: Area::m2(*area), ..waits(&format!("B{i}"), *back) })
            .collect();
        let mut before: Option<Option<(Date, Date)>> = None;
        for count in 0..=ware.len() {
            let mut queue = ware[..count].to_vec();
            queue.push(waits("A", 3));
            let all = expected(TODAY, &queue, &past, &open);
            let band = of(&all, "A").band;
            if let Some((from, to)) = band {
                prop_assert!(from <= to && from >= TODAY);
            }
            match (before, band) {
                // No date any more is later than any.
                (Some(None), now) => prop_assert!(now.is_none()),
                (Some(Some((from, to))), Some(now)) => prop_assert!(now.0 >= from && now.1 >= to),
                _ => {}
            }
            before = Some(band);
        }
    }
}
