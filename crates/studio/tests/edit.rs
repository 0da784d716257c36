//! A load changed by hand: steps can be taken back to the last bit, the judge's answer is that of the load,
//! and whatever is asked, nothing panics.

#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::sync::LazyLock;
use std::time::Instant;

use glost_check::judge;
use glost_model::cone::Cone;
use glost_model::load::{FiringKind, LoadPlan, Placed};
use glost_model::plan_file::PlanFile;
use glost_model::studio::Studio;
use glost_model::{Angle, Length};
use glost_placing::{PlanAsk, plan_unproved};
use glost_rules::RuleBook;
use glost_studio::edit::{Bench, Edit, EditFault};
use glost_studio::{DEMO_KILN, compare, demo_texts, open_texts};
use proptest::prelude::*;

const DAY: jiff::civil::Date = jiff::civil::date(2026, 11, 25);

fn planned(studio: Studio, kiln: &str, kind: FiringKind, cone: &str) -> Bench {
    let book = RuleBook::from_overrides(&studio.rule_overrides, "studio.toml").unwrap();
    let ask = PlanAsk {
        studio: &studio,
        book: &book,
        kiln,
        cone: Cone::parse(cone).unwrap(),
        kind,
        today: DAY,
        seed: 1,
        rounds: 40,
        worth: None,
    };
    let load = plan_unproved(&ask, &mut |_, _| true).unwrap();
    Bench::open(PlanFile::new(studio, load), DAY).unwrap()
}

fn demo(kind: FiringKind, cone: &str) -> Bench {
    let (studio, _) = open_texts(&demo_texts()).unwrap();
    planned(studio, DEMO_KILN, kind, cone)
}

static HERON: LazyLock<Bench> = LazyLock::new(|| demo(FiringKind::Glaze, "6"));

/// Made-up rooms, and greenware that stands in piles.
static BENCHES: LazyLock<Vec<Bench>> = LazyLock::new(|| {
    let mut all: Vec<Bench> = (0..4)
        .map(|n| {
            let studio = glost_studio::figures::made_up(31 + n as u64, n, 50).unwrap();
            planned(studio, "Test", FiringKind::Glaze, "6")
        })
        .collect();
    let (mut studio, _) = open_texts(&demo_texts()).unwrap();
    for p in &mut studio.pieces {
        p.stage = glost_model::piece::Stage::Greenware;
        p.glazes.clear();
        p.asked_cone = None;
        p.inside = Some(glost_model::piece::Inside::Open);
    }
    all.push(planned(studio, DEMO_KILN, FiringKind::Bisque, "06"));
    all.push(HERON.clone());
    all
});

fn bits(load: &LoadPlan) -> String {
    // Debug prints the shortest text that reads back as the same number, and tells 0 from -0.
    format!("{load:?}")
}

fn m(v: f64) -> Length {
    Length::m(v)
}

fn place<'b>(bench: &'b Bench, piece: &str) -> (&'b str, &'b Placed) {
    let found = bench.load().placed().find(|(_, p)| p.piece == piece);
    found.map(|(t, p)| (t.name.as_str(), p)).unwrap()
}

fn shift(bench: &Bench, piece: &str, to: &str) -> Edit {
    let (tier, p) = place(bench, to);
    Edit::Move {
        piece: piece.to_owned(),
        tier: tier.to_owned(),
        x_m: p.x_m,
        y_m: p.y_m,
        rotation_rad: None,
    }
}

/// Two pieces of one tier that carry nothing.
fn pair(bench: &Bench) -> (String, String) {
    let tier = bench.load().tiers.iter().max_by_key(|t| t.pieces.len());
    let tier = tier.unwrap();
    (tier.pieces[0].piece.clone(), tier.pieces[1].piece.clone())
}

fn edit(bench: &Bench, verb: u8, a: usize, b: usize, at: (f64, f64, f64)) -> Edit {
    let load = bench.load();
    let mut ids: Vec<String> = load.placed().map(|(_, p)| p.piece.clone()).collect();
    ids.extend(load.left_out.iter().map(|l| l.piece.clone()));
    ids.push("nobody's".to_owned());
    let piece = ids[a % ids.len()].clone();
    let tier = load.tiers.get(b % (load.tiers.len() + 1));
    let tier = tier.map_or("none".to_owned(), |t| t.name.clone());
    let [x_m, y_m] = [at.0, at.1].map(m);
    match verb % 7 {
        0 | 1 => Edit::Move {
            piece,
            tier,
            x_m,
            y_m,
            rotation_rad: Some(Angle::rad(at.2)),
        },
        2 => Edit::Swap {
            a: piece,
            b: ids[b % ids.len()].clone(),
        },
        3 => Edit::TakeOut { piece },
        4 => {
            let out = &load.left_out;
            let piece = out
                .get(a % out.len().max(1))
                .map_or(piece, |l| l.piece.clone());
            Edit::PutIn {
                piece,
                tier,
                x_m,
                y_m,
            }
        }
        5 => Edit::Lock { piece },
        _ => Edit::Unlock { piece },
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    #[test]
    fn steps_are_taken_back_to_the_last_bit_and_judged_as_they_are(
        which in 0_usize..6,
        steps in prop::collection::vec((0_u8..7, 0_usize..500, 0_usize..500, (-0.3..0.3, -0.3..0.3, -7.0..7.0)), 1..8),
    ) {
        let mut bench = BENCHES[which].clone();
        let mut before = vec![(bits(bench.load()), bench.locked.clone())];
        for (verb, a, b, at) in steps {
            let edit = edit(&bench, verb, a, b, at);
            let was = bench.clone();
            match bench.apply(edit) {
                Ok(answer) => {
                    before.push((bits(bench.load()), bench.locked.clone()));
                    let fresh = PlanFile::read(&bench.plan.to_json().unwrap(), "plan.json").unwrap();
                    let book = RuleBook::from_overrides(&fresh.studio.rule_overrides, "").unwrap();
                    let mut judged = judge(&fresh.studio, &book, &fresh.load);
                    if judged.len() > 1 {
                        judged.retain(|b| b.rule != "bound");
                    }
                    prop_assert_eq!(&answer.breaches, &judged);
                }
                Err(fault) => {
                    prop_assert_eq!(&bench, &was);
                    prop_assert!(fault.to_string().contains(": "), "no remedy: {}", fault);
                }
            }
        }
        // Kept and read again in between, as a store would.
        let kept = serde_json::to_string(&bench).unwrap();
        let read: Bench = serde_json::from_str(&kept).unwrap();
        prop_assert_eq!(format!("{read:?}"), format!("{bench:?}"));
        let last = bits(bench.load());
        let count = bench.done.len();
        for (load, locked) in before.iter().rev().skip(1) {
            bench.undo().unwrap();
            prop_assert_eq!(&bits(bench.load()), load);
            prop_assert_eq!(&bench.locked, locked);
        }
        prop_assert_eq!(bench.undo(), Err(EditFault::NothingToUndo));
        for _ in 0..count {
            bench.redo().unwrap();
        }
        prop_assert_eq!(bits(bench.load()), last);
        prop_assert_eq!(bench.redo(), Err(EditFault::NothingToRedo));
    }

    #[test]
    fn whatever_is_asked_nothing_panics(
        which in 0_usize..6,
        text in "[ -~]{0,12}",
        numbers in prop::array::uniform3(prop::num::f64::ANY),
        verb in 0_u8..7,
    ) {
        let mut bench = BENCHES[which].clone();
        let (a, _) = pair(&bench);
        for piece in [text.clone(), a] {
            let [x_m, y_m] = [numbers[0], numbers[1]].map(m);
            let turned = Some(Angle::rad(numbers[2]));
            let tier = bench.load().tiers[0].name.clone();
            let edit = match verb {
                0 => Edit::Move { piece, tier, x_m, y_m, rotation_rad: turned },
                1 => Edit::Move { piece, tier: text.clone(), x_m, y_m, rotation_rad: None },
                2 => Edit::Swap { a: piece.clone(), b: text.clone() },
                3 => Edit::TakeOut { piece },
                4 => Edit::PutIn { piece, tier, x_m, y_m },
                5 => Edit::Lock { piece },
                _ => Edit::Unlock { piece },
            };
            drop(bench.apply(edit));
        }
        drop(bench.judged().unwrap());
    }

    #[test]
    fn settling_leaves_locked_ware_alone_and_never_makes_it_worse(
        which in 0_usize..6,
        steps in prop::collection::vec((0_u8..5, 0_usize..500, 0_usize..500, (-0.25..0.25, -0.25..0.25, 0.0..3.0)), 1..4),
        locks in prop::collection::vec(0_usize..500, 0..4),
    ) {
        let mut bench = BENCHES[which].clone();
        for (verb, a, b, at) in steps {
            let edit = edit(&bench, verb, a, b, at);
            drop(bench.apply(edit));
        }
        for a in locks {
            let lock = edit(&bench, 5, a, 0, (0.0, 0.0, 0.0));
            drop(bench.apply(lock));
        }
        let was = bench.clone();
        let wrong = was.judged().unwrap().len();
        match bench.settle() {
            Ok(answer) => {
                prop_assert!(answer.breaches.len() < wrong);
                for id in &was.locked {
                    let [(t, p), (u, q)] = [&was, &bench].map(|b| place(b, id));
                    let at = |p: &Placed| [p.x_m, p.y_m, p.raised_m].map(|v| v.to_m().to_bits());
                    prop_assert_eq!((t, at(p), p.rotation_rad), (u, at(q), q.rotation_rad), "{} is locked", id);
                }
                bench.undo().unwrap();
                prop_assert_eq!(bits(bench.load()), bits(was.load()));
            }
            Err(EditFault::NothingToSettle) => prop_assert_eq!(wrong, 0),
            Err(_) => prop_assert_eq!(&bench, &was),
        }
    }
}

#[test]
fn a_piece_on_another_is_named_and_settled_with_few_changes() {
    let mut bench = HERON.clone();
    let (a, b) = pair(&bench);
    let step = shift(&bench, &a, &b);
    let answer = bench.apply(step).unwrap();
    let named = |p: &String| {
        answer
            .breaches
            .iter()
            .any(|x| x.rule == "gap-ware" && x.pieces.contains(p))
    };
    assert!(named(&a) && named(&b), "{:?}", answer.breaches);
    assert_eq!(answer.tiers.len(), 1);
    assert_eq!(place(&bench, &a).1.gap_m, Length::ZERO);
    assert!(!bench.forecast_holds());
    bench.apply(Edit::Lock { piece: a.clone() }).unwrap();
    let held = place(&bench, &a).1.clone();
    let before = bench.plan.clone();
    let settled = bench.settle().unwrap();
    assert_eq!(settled.breaches, [], "{:?}", settled.said);
    let now = place(&bench, &a).1;
    assert_eq!((now.x_m, now.y_m), (held.x_m, held.y_m));
    let c = compare(&before, &bench.plan);
    assert!(c.only_a.len() <= 1, "at most one goes out: {:?}", c.only_a);
    let touched = c.shifted.len() + c.other_tier.len() + c.only_a.len();
    assert!((1..=8).contains(&touched), "{:?}", settled.said);
    assert!(!settled.said.is_empty());
}

#[test]
fn locked_ware_stays() {
    let mut bench = HERON.clone();
    let (a, b) = pair(&bench);
    bench.apply(Edit::Lock { piece: a.clone() }).unwrap();
    assert!(bench.forecast_holds(), "a lock moves nothing");
    let tier = place(&bench, &a).0.to_owned();
    let refused = [
        shift(&bench, &a, &b),
        Edit::Swap {
            a: b.clone(),
            b: a.clone(),
        },
        Edit::TakeOut { piece: a.clone() },
    ];
    for edit in refused {
        let fault = bench.apply(edit).unwrap_err();
        assert_eq!(
            fault.to_string(),
            format!("{a} is locked on tier {tier}: unlock it first")
        );
    }
    bench.apply(Edit::Unlock { piece: a.clone() }).unwrap();
    bench
        .apply(Edit::Swap {
            a: a.clone(),
            b: b.clone(),
        })
        .unwrap();
    let (was, now) = (&*HERON, place(&bench, &a).1);
    assert_eq!(
        (now.x_m, now.y_m),
        (place(was, &b).1.x_m, place(was, &b).1.y_m)
    );
    assert_eq!(
        now.supports,
        place(was, &a).1.supports,
        "each keeps its supports"
    );
}

#[test]
fn ware_goes_out_and_comes_in_on_what_it_needs() {
    let mut bench = HERON.clone();
    let needs = HERON.load().placed().find(|(_, p)| !p.supports.is_empty());
    let (tier, p) = needs.map(|(t, p)| (t.name.clone(), p.clone())).unwrap();
    let id = p.piece.clone();
    bench.apply(Edit::TakeOut { piece: id.clone() }).unwrap();
    assert!(bench.load().worth.value < HERON.load().worth.value);
    assert!(
        bench
            .load()
            .left_out
            .iter()
            .any(|l| l.piece == id && l.rule == "by-hand")
    );
    let twice = bench
        .apply(Edit::TakeOut { piece: id.clone() })
        .unwrap_err();
    assert_eq!(
        twice.to_string(),
        format!("{id} is not in this load: put it in on a tier first")
    );
    let back = Edit::PutIn {
        piece: id.clone(),
        tier: tier.clone(),
        x_m: p.x_m,
        y_m: p.y_m,
    };
    let answer = bench.apply(back.clone()).unwrap();
    let now = place(&bench, &id).1;
    assert_eq!((&now.supports, now.raised_m), (&p.supports, p.raised_m));
    assert!((bench.load().worth.value - HERON.load().worth.value).abs() < 1e-9);
    assert_eq!(answer.breaches, []);
    let again = bench.apply(back).unwrap_err().to_string();
    assert_eq!(
        again,
        format!("{id} stands on tier {tier} already: move it instead")
    );
    let far = bench.apply(Edit::Move {
        piece: id.clone(),
        tier: "top".to_owned(),
        x_m: m(0.0),
        y_m: m(0.0),
        rotation_rad: None,
    });
    let far = far.unwrap_err().to_string();
    assert!(
        far.starts_with(&format!("the load has no tier 'top' for {id}; it has ")),
        "{far}"
    );
}

#[test]
fn what_stands_on_a_piece_goes_with_it() {
    let bench = &BENCHES[4];
    let on = bench
        .load()
        .placed()
        .find_map(|(t, p)| Some((t.name.clone(), p.clone(), p.on.clone()?)));
    let (tier, rider, on) = on.unwrap();
    let lowest = bench
        .load()
        .placed()
        .find(|(_, p)| p.piece == on.piece)
        .unwrap()
        .1
        .clone();
    let mut moved = bench.clone();
    let other = moved
        .load()
        .tiers
        .iter()
        .find(|t| t.name != tier)
        .unwrap()
        .name
        .clone();
    let step = Edit::Move {
        piece: lowest.piece.clone(),
        tier: other.clone(),
        x_m: m(0.01),
        y_m: m(0.02),
        rotation_rad: None,
    };
    moved.apply(step).unwrap();
    let (there, now) = place(&moved, &rider.piece);
    assert_eq!(
        (there, now.x_m, now.on.as_ref()),
        (other.as_str(), m(0.01), Some(&on))
    );
    // Taken off, it stands on the shelf.
    let mut off = bench.clone();
    let step = Edit::Move {
        piece: rider.piece.clone(),
        tier: tier.clone(),
        x_m: m(0.0),
        y_m: m(0.0),
        rotation_rad: None,
    };
    off.apply(step).unwrap();
    let now = place(&off, &rider.piece).1;
    assert_eq!((now.on.as_ref(), now.raised_m), (None, Length::ZERO));
    // It cannot be swapped from there, and its lock holds what carries it.
    let mut held = bench.clone();
    held.apply(Edit::Lock {
        piece: rider.piece.clone(),
    })
    .unwrap();
    let fault = held
        .apply(Edit::TakeOut {
            piece: lowest.piece.clone(),
        })
        .unwrap_err();
    assert!(matches!(fault, EditFault::CarriesLocked { .. }), "{fault}");
    held.undo().unwrap();
    let (other, _) = pair(&held);
    if other != rider.piece && other != lowest.piece {
        let fault = held
            .apply(Edit::Swap {
                a: rider.piece.clone(),
                b: other,
            })
            .unwrap_err();
        assert!(matches!(fault, EditFault::StandsOn { .. }), "{fault}");
    }
    let before = bits(bench.load());
    moved.undo().unwrap();
    assert_eq!(bits(moved.load()), before);
}

#[test]
fn edits_are_read_as_a_page_sends_them() {
    let read = |t: &str| serde_json::from_str::<Edit>(t);
    let edit = read(r#"{"do":"move","piece":"L001","tier":"2","x_m":0.1,"y_m":-0.05}"#).unwrap();
    assert_eq!(edit.words(), "move L001 on tier 2");
    assert_eq!(
        read(r#"{"do":"take-out","piece":"L001"}"#).unwrap(),
        Edit::TakeOut {
            piece: "L001".to_owned()
        }
    );
    assert!(read(r#"{"do":"move","piece":"L001","tier":"2","x_m":1e999,"y_m":0}"#).is_err());
    assert!(read(r#"{"do":"burn","piece":"L001"}"#).is_err());
}

/// The judge answers before a hand notices. Prints how long it took.
#[test]
fn the_answer_comes_at_once() {
    let mut bench = HERON.clone();
    let ids: Vec<String> = bench
        .load()
        .placed()
        .map(|(_, p)| p.piece.clone())
        .collect();
    let mut took: Vec<f64> = Vec::new();
    for pair in ids.windows(2) {
        let step = shift(&bench, &pair[0], &pair[1]);
        let start = Instant::now();
        bench.apply(step).unwrap();
        took.push(start.elapsed().as_secs_f64() * 1e3);
        bench.undo().unwrap();
    }
    took.sort_by(f64::total_cmp);
    let (middle, most) = (took[took.len() / 2], took[took.len() - 1]);
    let kept = serde_json::to_string(&bench).unwrap().len() / 1024;
    println!(
        "{} pieces: edit and judge {middle:.1} ms in the middle, {most:.1} ms at most; the bench is {kept} KiB",
        ids.len()
    );
    assert!(middle < 50.0, "{middle} ms");
}
