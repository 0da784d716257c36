//! Plans changed at the kiln are accepted by the judge, do what was said and little else.

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

use std::collections::BTreeSet;
use std::sync::LazyLock;

use glost_check::judge;
use glost_model::load::{FiringKind, LoadPlan, Placed, Tier};
use glost_model::studio::Studio;
use glost_placing::{Change, ChangeError, Changed, PlanAsk, plan, replan, what_if};
use glost_rules::RuleBook;
use proptest::prelude::*;

fn ask<'a>(studio: &'a Studio, book: &'a RuleBook) -> PlanAsk<'a> {
    PlanAsk {
        studio,
        book,
        kiln: "Test",
        cone: made::cone("6"),
        kind: FiringKind::Glaze,
        today: jiff::civil::date(2026, 11, 25),
        seed: 7,
        rounds: 20,
        worth: None,
    }
}

/// Two plans for each chamber: one with ware waiting, one with room to spare.
static PLANS: LazyLock<Vec<(Studio, LoadPlan)>> = LazyLock::new(|| {
    (0..8)
        .map(|n| {
            let studio = made::studio(31 + n as u64, n % 4, if n < 4 { 90 } else { 25 });
            let load = plan(&ask(&studio, &RuleBook::default()), &mut |_, _| true).unwrap();
            (studio, load)
        })
        .collect()
});

fn changed(studio: &Studio, load: &LoadPlan, change: &Change) -> Result<Changed, ChangeError> {
    let book = RuleBook::default();
    let done = replan(&ask(studio, &book), load, change, &mut |_, _| true)?;
    let breaches = judge(studio, &book, &done.load);
    let list: String = breaches.iter().map(|b| format!("{b}\n")).collect();
    assert!(breaches.is_empty(), "{change:?}:\n{list}");
    Ok(done)
}

fn find<'l>(load: &'l LoadPlan, id: &str) -> Option<(&'l str, &'l Placed)> {
    let found = load.placed().find(|(_, p)| p.piece == id);
    found.map(|(t, p)| (t.name.as_str(), p))
}

fn same_place(a: &Placed, b: &Placed) -> bool {
    let bits = |p: &Placed| [p.x_m.to_m(), p.y_m.to_m(), p.rotation_rad.to_rad()].map(f64::to_bits);
    bits(a) == bits(b)
}

/// Every `step`th piece that goes, from the `first` on.
fn some(load: &LoadPlan, first: usize, step: usize) -> Vec<String> {
    let all = load.placed().map(|(_, p)| p.piece.clone());
    all.skip(first).step_by(step).collect()
}

/// Tiers that the judge finds to tip when ware is simply taken off.
fn tipping_without<'l>(
    studio: &Studio,
    load: &'l LoadPlan,
    goes: &dyn Fn(&str) -> bool,
) -> Vec<&'l Tier> {
    let mut bare = load.clone();
    for t in &mut bare.tiers {
        t.pieces.retain(|p| !goes(&p.piece));
    }
    let breaches = judge(studio, &RuleBook::default(), &bare);
    let tips = |t: &&Tier| {
        let mut found = breaches.iter().filter(|b| b.rule == "tip-margin");
        found.any(|b| b.tier.as_deref() == Some(t.name.as_str()))
    };
    load.tiers.iter().filter(tips).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn without_what_is_not_here_nothing_moves(which in 0usize..8, first in 0usize..9, step in 2usize..30) {
        let (studio, load) = &PLANS[which];
        let absent = some(load, first, step);
        let change = Change { absent: absent.clone(), ..Change::default() };
        let done = changed(studio, load, &change).unwrap();
        prop_assert_eq!(&done, &changed(studio, load, &change).unwrap());
        for id in &absent {
            prop_assert!(find(&done.load, id).is_none());
            let why = done.load.left_out.iter().find(|l| &l.piece == id).unwrap();
            prop_assert!(why.why.contains("not to be here"));
        }
        // Only ware on a shelf that would tip may move besides, and what goes out with it.
        let sets: BTreeSet<_> = absent.iter().filter_map(|id| studio.piece(id)?.group.as_deref()).collect();
        let goes = |id: &str| absent.iter().any(|a| a == id) || studio.piece(id).unwrap().group.as_deref().is_some_and(|g| sets.contains(g));
        let tips = tipping_without(studio, load, &goes);
        let shaky: BTreeSet<_> = tips.iter().flat_map(|t| &t.pieces).filter_map(|p| studio.piece(&p.piece)?.group.as_deref()).collect();
        for m in done.moved.iter().filter(|m| !goes(&m.piece)) {
            let on_it = tips.iter().any(|t| t.pieces.iter().any(|p| p.piece == m.piece));
            let with_it = studio.piece(&m.piece).unwrap().group.as_deref().is_some_and(|g| shaky.contains(g));
            prop_assert!(on_it || with_it, "{:?}", m);
        }
    }

    #[test]
    fn what_is_kept_does_not_move_while_ware_comes_in(which in 0usize..8, first in 0usize..9, step in 3usize..12, kept in 0usize..5) {
        let (studio, load) = &PLANS[which];
        let absent = some(load, first, step);
        let in_sets: BTreeSet<_> = absent.iter().filter_map(|id| studio.piece(id)?.group.as_deref()).collect();
        let keep: Vec<String> = some(load, kept, 4).into_iter().filter(|id| {
            let group = studio.piece(id).unwrap().group.as_deref();
            !absent.contains(id) && !group.is_some_and(|g| in_sets.contains(g))
        }).collect();
        let change = Change { absent: absent.clone(), keep: keep.clone(), fill: true, ..Change::default() };
        let done = changed(studio, load, &change).unwrap();
        prop_assert_eq!(&done, &changed(studio, load, &change).unwrap());
        for id in &absent {
            prop_assert!(find(&done.load, id).is_none());
        }
        for id in &keep {
            let (was, is) = (find(load, id).unwrap(), find(&done.load, id).unwrap());
            prop_assert_eq!(was.0, is.0);
            prop_assert!(same_place(was.1, is.1), "{:?} {:?}", was, is);
        }
        // What is not told as moved has not moved.
        for (t, p) in load.placed().filter(|(_, p)| done.moved.iter().all(|m| m.piece != p.piece)) {
            let (name, q) = find(&done.load, &p.piece).unwrap();
            prop_assert!(name == t.name && same_place(p, q));
        }
    }

    #[test]
    fn moves_swaps_and_bars_are_done_or_refused_with_a_reason(which in 0usize..8, a in 0usize..60, b in 0usize..60, t in 0usize..9, how in 0u8..3) {
        let (studio, load) = &PLANS[which];
        let ids = some(load, 0, 1);
        let (a, b) = (ids[a % ids.len()].clone(), ids[b % ids.len()].clone());
        let tier = load.tiers[t % load.tiers.len()].name.clone();
        let at = |id: &str| find(load, id).unwrap().0.to_owned();
        let change = match how {
            0 => Change { move_to: vec![(a.clone(), tier.clone())], ..Change::default() },
            1 => Change { swap: vec![(a.clone(), b.clone())], ..Change::default() },
            _ => Change { forbid: vec![(a.clone(), at(&a))], ..Change::default() },
        };
        match changed(studio, load, &change) {
            Ok(done) => {
                let now = |id: &str| find(&done.load, id).map(|(t, _)| t.to_owned());
                match how {
                    0 => prop_assert_eq!(now(&a), Some(tier)),
                    1 => prop_assert_eq!((now(&a), now(&b)), (Some(at(&b)), Some(at(&a)))),
                    _ => prop_assert_ne!(now(&a), Some(at(&a))),
                }
            }
            Err(ChangeError::CannotMove { piece, why, .. }) => {
                prop_assert!(how < 2 && (piece == a || piece == b) && why.len() > 20, "{}", why);
            }
            Err(ChangeError::Contradiction { .. }) => prop_assert!(how == 1 && a == b),
            Err(e) => prop_assert!(false, "{}", e),
        }
    }
}

#[test]
fn what_cannot_be_meant_is_told() {
    let (studio, load) = &PLANS[0];
    let id = some(load, 0, 1)[0].clone();
    let (tier, _) = find(load, &id).unwrap();
    let say = |change: Change| changed(studio, load, &change).unwrap_err();
    let one = vec![id.clone()];
    let on = |tier: &str| vec![(id.clone(), tier.to_owned())];
    let unknown = Change {
        absent: vec!["no such".into()],
        ..Change::default()
    };
    assert_eq!(say(unknown), ChangeError::NoPiece("no such".into()));
    let nowhere = say(Change {
        move_to: on("99"),
        ..Change::default()
    });
    assert!(matches!(nowhere, ChangeError::NoTier { .. }), "{nowhere}");
    let contradictions = [
        Change {
            absent: one.clone(),
            keep: one.clone(),
            ..Change::default()
        },
        Change {
            absent: one.clone(),
            move_to: on(tier),
            ..Change::default()
        },
        Change {
            keep: one.clone(),
            forbid: on(tier),
            ..Change::default()
        },
        Change {
            move_to: on(tier),
            forbid: on(tier),
            ..Change::default()
        },
        Change {
            keep: one.clone(),
            swap: vec![(id.clone(), some(load, 1, 1)[0].clone())],
            ..Change::default()
        },
        Change {
            swap: vec![(id.clone(), id.clone())],
            ..Change::default()
        },
    ];
    for change in contradictions {
        let told = say(change);
        assert!(matches!(told, ChangeError::Contradiction { .. }), "{told}");
    }
    let waits = load.left_out[0].piece.clone();
    let told = say(Change {
        keep: vec![waits.clone()],
        ..Change::default()
    });
    assert_eq!(told, ChangeError::NotPlanned(waits));
}

#[test]
fn the_tallest_piece_on_the_lowest_tier_is_refused_in_heights() {
    let (studio, load) = &PLANS[0];
    let height = |p: &Placed| studio.piece(&p.piece).unwrap().height + p.raised_m;
    let tallest = load
        .placed()
        .map(|(_, p)| p)
        .max_by(|a, b| height(a).total_cmp(&height(b)))
        .unwrap();
    let low = load
        .tiers
        .iter()
        .min_by(|a, b| a.clear_m.total_cmp(&b.clear_m))
        .unwrap();
    assert!(
        height(tallest) > low.clear_m,
        "this plan has tiers of unlike height"
    );
    let change = Change {
        move_to: vec![(tallest.piece.clone(), low.name.clone())],
        ..Change::default()
    };
    let told = changed(studio, load, &change).unwrap_err().to_string();
    assert!(
        told.contains(" tall") && told.contains("mm") && told.contains(&tallest.piece),
        "{told}"
    );
}

#[test]
fn what_is_not_here_stays_out_until_it_is_asked_for() {
    let (studio, load) = &PLANS[4];
    let single = |id: &String| studio.piece(id).unwrap().group.is_none();
    let id = some(load, 0, 1).into_iter().find(single).unwrap();
    let (tier, _) = find(load, &id).unwrap();
    let gone = changed(
        studio,
        load,
        &Change {
            absent: vec![id.clone()],
            ..Change::default()
        },
    )
    .unwrap();
    let filled = changed(
        studio,
        &gone.load,
        &Change {
            fill: true,
            ..Change::default()
        },
    )
    .unwrap();
    assert!(find(&filled.load, &id).is_none());
    let back = Change {
        move_to: vec![(id.clone(), tier.to_owned())],
        ..Change::default()
    };
    let back = changed(studio, &gone.load, &back).unwrap();
    assert_eq!(find(&back.load, &id).unwrap().0, tier);
}

#[test]
fn what_would_let_waiting_ware_in_is_told_and_holds() {
    let book = RuleBook::default();
    let mut told = [0; 3];
    for (studio, load) in PLANS.iter().take(4) {
        for out in load.left_out.iter().take(8) {
            let words = what_if(&ask(studio, &book), load, &out.piece).unwrap();
            assert!(
                words.starts_with(&out.piece) && words.ends_with('.'),
                "{words}"
            );
            let on = words.split(" fits on tier ").nth(1);
            let Some(tier) = on.and_then(|w| w.split(' ').next()) else {
                told[0] += 1;
                continue;
            };
            let waits = words
                .split(" when ")
                .nth(1)
                .filter(|w| w.contains("instead"));
            told[1 + usize::from(waits.is_some())] += 1;
            // Its word is kept: with what waits instead gone, the piece goes on that tier.
            let absent = waits.map_or_else(Vec::new, |w| {
                let names = w.split(", worth").next().unwrap().split(", ");
                names.map(str::to_owned).collect()
            });
            let change = Change {
                absent,
                move_to: vec![(out.piece.clone(), tier.to_owned())],
                ..Change::default()
            };
            changed(studio, load, &change).unwrap();
        }
    }
    println!("no place or not fit to go, beside, instead: {told:?}");
}
