//! Many firings: every load is accepted, furniture is never in two kilns at once, and the proof holds.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod made {
    use glost_model::cone::Cone;
    use glost_model::studio::Studio;

    pub fn cone(name: &str) -> Cone {
        Cone::parse(name).unwrap()
    }

    pub fn studio(seed: u64, room: usize, count: usize) -> Studio {
        glost_studio::figures::made_up(seed, room, count).unwrap()
    }
}

use std::collections::BTreeMap;

use glost_check::judge;
use glost_model::load::{FiringKind, LoadPlan};
use glost_model::studio::Studio;
use glost_model::{Money, Span};
use glost_placing::backlog::{Aim, BacklogAsk, Course, firings};
use glost_placing::{PlanAsk, plan};
use glost_rules::RuleBook;
use glost_studio::propose_firings;
use jiff::ZonedDateTime;
use jiff::civil::date;
use jiff::tz::TimeZone;

fn from() -> ZonedDateTime {
    let day = date(2026, 11, 25).at(9, 0, 0, 0);
    TimeZone::UTC.to_zoned_datetime(day).unwrap()
}

fn ask<'a>(
    studio: &'a Studio,
    book: &'a RuleBook,
    kilns: &'a [String],
    from: &'a ZonedDateTime,
    rounds: u32,
) -> BacklogAsk<'a> {
    BacklogAsk {
        studio,
        book,
        kilns,
        from,
        aim: Aim::Fewest,
        bisque: made::cone("06"),
        seed: 1,
        rounds,
    }
}

#[test]
fn ware_of_one_load_never_counts_as_more_than_one_kiln() {
    let book = RuleBook::default();
    for room in 0..4 {
        for seed in 1..3 {
            let mut studio = made::studio(seed, room, 90);
            let load = plan(
                &PlanAsk {
                    studio: &studio,
                    book: &book,
                    kiln: "Test",
                    cone: made::cone("6"),
                    kind: FiringKind::Glaze,
                    today: date(2026, 11, 25),
                    seed,
                    rounds: 60,
                    worth: None,
                },
                &mut |_, _| true,
            )
            .unwrap();
            assert!(judge(&studio, &book, &load).is_empty());
            let goes = |id: &str| load.placed().any(|(_, p)| p.piece == id);
            studio.pieces.retain(|p| goes(&p.id));
            let (kilns, from) = (["Test".to_owned()], from());
            let course = Course {
                peak: Span::h(10.0),
                open: Span::h(30.0),
                cost: Money::cents(1),
                fit: true,
            };
            let found = firings(
                &ask(&studio, &book, &kilns, &from, 0),
                &mut |_, _| Ok(course),
                &mut |_, _| true,
            )
            .unwrap();
            let [part] = &found.least.parts[..] else {
                panic!("{:?}", found.least)
            };
            println!(
                "room {room}, seed {seed}: {} pieces, {:.2}",
                part.pieces, part.full
            );
            assert!(
                part.full <= 1.0 + 1e-6,
                "room {room}, seed {seed}: {part:?}"
            );
            assert_eq!(part.firings, 1);
        }
    }
}

/// Furniture of some loads, counted by name and by length in hundredths of a millimetre.
fn furniture<'a>(loads: impl Iterator<Item = &'a LoadPlan>) -> BTreeMap<String, u32> {
    let mut used = BTreeMap::new();
    let mut count = |name: String| *used.entry(name).or_default() += 1;
    for load in loads {
        for tier in &load.tiers {
            count(format!("shelf {}", tier.shelf));
            for l in tier.posts.iter().flat_map(|p| &p.lengths_m) {
                count(format!("post {:.0}", l.to_mm() * 100.0));
            }
        }
        for name in load.placed().flat_map(|(_, p)| &p.supports) {
            count(format!("support {name}"));
        }
    }
    used
}

#[test]
fn loads_are_accepted_and_furniture_is_in_one_kiln_at_a_time() {
    let book = RuleBook::default();
    let mut studio = made::studio(8, 0, 45);
    let mut second = studio.kilns[0].clone();
    second.name = "Other".into();
    studio.kilns.push(second);
    let kilns = ["Test".to_owned(), "Other".to_owned()];
    let from = from();
    let mut heard = 0.0;
    let found = propose_firings(&ask(&studio, &book, &kilns, &from, 4), &mut |done, _| {
        heard = done;
        true
    })
    .unwrap();
    assert!(heard > 0.4);
    let mut owned: BTreeMap<String, u32> = BTreeMap::new();
    let stock = &studio.furniture;
    owned.extend(
        stock
            .shelves
            .iter()
            .map(|s| (format!("shelf {}", s.name), s.count.into())),
    );
    owned.extend(stock.posts.iter().map(|p| {
        (
            format!("post {:.0}", p.length.to_mm() * 100.0),
            p.count.into(),
        )
    }));
    owned.extend(
        stock
            .supports
            .iter()
            .map(|s| (format!("support {}", s.name), s.count.into())),
    );
    for now in &found.firings {
        let breaches = judge(&now.file.studio, &book, &now.file.load);
        assert!(breaches.is_empty(), "{breaches:?}");
        let then = &now.times.load;
        let under_way = found
            .firings
            .iter()
            .filter(|f| f.times.load <= *then && *then < f.times.done);
        let used = furniture(under_way.clone().map(|f| &f.file.load));
        for (name, n) in used {
            assert!(n <= owned[&name], "{name}: {n} at {then}");
        }
        let same = under_way.filter(|f| f.file.load.kiln == now.file.load.kiln);
        assert_eq!(same.count(), 1, "{then}");
        // Elapsed time from switching on to the peak is that of the forecast.
        let forecast = now.file.forecast.as_ref().unwrap();
        let plan = now.file.firing.as_ref().unwrap();
        let peak = forecast.peak_over(plan).unwrap().to_s();
        let elapsed = now
            .times
            .start
            .duration_until(&now.times.peak)
            .as_secs_f64();
        assert!((elapsed - peak).abs() <= 1.0, "{elapsed} {peak}");
    }
    let fired = found.firings.iter().map(|f| f.file.load.placed().count());
    let fired: usize = fired.sum();
    assert_eq!(fired + found.stay.len(), 45);
    assert!(
        found
            .stay
            .iter()
            .all(|s| !s.why.is_empty() && !s.remedy.is_empty())
    );
    // Two of the glazes shun one another: leaded ware goes apart.
    assert!(found.least.firings >= 2);
    assert!(found.firings.len() >= found.least.firings);
}
