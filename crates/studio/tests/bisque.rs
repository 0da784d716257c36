//! Bisque loads of made-up greenware: every plan is accepted, piles never lose value, and plans
//! with broken piles are refused.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

mod greenware;

use std::collections::BTreeMap;
use std::sync::LazyLock;

use glost_check::judge;
use glost_model::cone::Cone;
use glost_model::load::{FiringKind, How, LoadPlan};
use glost_model::piece::{Delicacy, Dryness, Inside};
use glost_model::studio::Studio;
use glost_model::{Length, Mass};
use glost_placing::{PlanAsk, plan};
use glost_rules::RuleBook;
use proptest::prelude::*;

fn cone(name: &str) -> Cone {
    Cone::parse(name).unwrap()
}

fn planned(studio: &Studio, book: &RuleBook, rounds: u32) -> LoadPlan {
    let ask = PlanAsk {
        studio,
        book,
        kiln: "Test",
        cone: cone("04"),
        kind: FiringKind::Bisque,
        today: jiff::civil::date(2026, 11, 25),
        seed: 3,
        rounds,
        worth: None,
    };
    plan(&ask, &mut |_, _| true).unwrap()
}

/// The rules of a studio that piles nothing.
fn singly() -> RuleBook {
    let texts = BTreeMap::from([("pile-most".to_owned(), "1".to_owned())]);
    RuleBook::from_overrides(&texts, "studio.toml").unwrap()
}

fn accepted(studio: &Studio, book: &RuleBook, load: &LoadPlan) {
    let breaches = judge(studio, book, load);
    let list: String = breaches.iter().map(|b| format!("{b}\n")).collect();
    assert!(breaches.is_empty(), "{list}");
}

fn over(load: &LoadPlan, how: How) -> usize {
    let on = load.placed().filter_map(|(_, p)| p.on.as_ref());
    on.filter(|o| o.how == how).count()
}

#[test]
fn piles_let_more_ware_in() {
    let mut better = 0;
    for room in 0..4 {
        let studio = greenware::greenware(room as u64 + 1, room, 110);
        let (book, single) = (RuleBook::default(), singly());
        let with = planned(&studio, &book, 10);
        let without = planned(&studio, &single, 10);
        accepted(&studio, &book, &with);
        accepted(&studio, &single, &without);
        assert!(without.placed().all(|(_, p)| p.on.is_none()));
        println!(
            "room {room}: {} of {} pieces placed for {:.1} singly, {} for {:.1} of at most {:.1} with piles ({} on flat ware, {} nested, {} rim to rim, {} foot to foot)",
            without.placed().count(),
            studio.pieces.len(),
            without.worth.value,
            with.placed().count(),
            with.worth.value,
            with.worth.at_most,
            over(&with, How::Piled),
            over(&with, How::Nested),
            over(&with, How::RimToRim),
            over(&with, How::FootToFoot),
        );
        assert!(with.worth.value >= without.worth.value);
        better += usize::from(with.worth.value > 1.01 * without.worth.value);
    }
    assert!(better >= 3, "{better} of 4");
}

#[test]
fn ware_that_all_goes_singly_is_not_piled() {
    let studio = greenware::greenware(4, 0, 12);
    let load = planned(&studio, &RuleBook::default(), 40);
    assert!(load.left_out.iter().all(|l| l.rule != "no-room"));
    assert!(load.placed().all(|(_, p)| p.on.is_none()));
}

#[test]
fn the_same_question_gets_the_same_piles() {
    let studio = greenware::greenware(5, 1, 70);
    let book = RuleBook::default();
    assert_eq!(planned(&studio, &book, 5), planned(&studio, &book, 5));
}

#[test]
fn glaze_ware_is_never_piled() {
    let studio = glost_studio::figures::made_up(3, 0, 110).unwrap();
    let ask = PlanAsk {
        studio: &studio,
        book: &RuleBook::default(),
        kiln: "Test",
        cone: cone("6"),
        kind: FiringKind::Glaze,
        today: jiff::civil::date(2026, 11, 25),
        seed: 3,
        rounds: 10,
        worth: None,
    };
    let load = plan(&ask, &mut |_, _| true).unwrap();
    assert!(load.placed().all(|(_, p)| p.on.is_none()));
}

static PILED: LazyLock<(Studio, LoadPlan)> = LazyLock::new(|| {
    let studio = greenware::greenware(7, 0, 110);
    let load = planned(&studio, &RuleBook::default(), 0);
    (studio, load)
});

proptest! {
    // Each case plans a kiln.
    #![proptest_config(ProptestConfig { cases: 12, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn made_up_loads_are_accepted(seed in 100u64..10_000, room in 0usize..4, count in 0usize..120) {
        let studio = greenware::greenware(seed, room, count);
        let book = RuleBook::default();
        let load = planned(&studio, &book, 0);
        let breaches = judge(&studio, &book, &load);
        prop_assert!(breaches.is_empty(), "{breaches:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn broken_piles_are_refused(which in 0usize..1000, how in 0u8..11) {
        let (mut studio, mut load) = PILED.clone();
        let guests: Vec<(usize, usize)> = load.tiers.iter().enumerate().flat_map(|(t, tier)| {
            let on = tier.pieces.iter().enumerate().filter(|(_, p)| p.on.is_some());
            on.map(move |(n, _)| (t, n)).collect::<Vec<_>>()
        }).collect();
        let (t, n) = guests[which % guests.len()];
        let tier = load.tiers[t].clone();
        let guest = &mut load.tiers[t].pieces[n];
        let on = guest.on.clone().unwrap();
        let mut change = |id: &str, f: &dyn Fn(&mut glost_model::piece::Piece)| {
            studio.pieces.iter_mut().filter(|p| p.id == id).for_each(f);
        };
        match how {
            0 => guest.raised_m += Length::mm(2.0),
            1 => guest.on = None,
            2 => guest.x_m += Length::mm(1.0),
            3 => guest.on.as_mut().unwrap().piece = guest.piece.clone(),
            4 => guest.on.as_mut().unwrap().piece = "nobody".into(),
            5 => change(&guest.piece, &|p| p.dryness = Dryness::Doubtful),
            6 => change(&on.piece, &|p| p.delicacy = Delicacy::Delicate),
            7 => change(&on.piece, &|p| p.inside = Some(Inside::Closed)),
            8 => change(&guest.piece, &|p| p.mass = Mass::kg(4.9)),
            9 => load.tiers[t].pieces.swap(n - 1, n),
            _ => {
                // Thrown on a pile of another tier.
                let moved = load.tiers[t].pieces.remove(n);
                let other = (0..load.tiers.len()).find(|k| *k != t).unwrap();
                load.tiers[other].pieces.push(moved);
            }
        }
        // The first and the second piece of a pile rim to rim may be the same; any other swap shows.
        prop_assume!(!(how == 9 && tier.pieces[n - 1].piece != on.piece));
        prop_assert!(!judge(&studio, &RuleBook::default(), &load).is_empty(), "{how} of {}", tier.pieces[n].piece);
    }
}
