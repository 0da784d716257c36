//! Random steps: back to the last bit, judged as they are, and never a panic.

use glost_check::judge;
use glost_model::Angle;
use glost_model::load::Placed;
use glost_model::plan_file::PlanFile;
use glost_rules::RuleBook;
use glost_studio::edit::{Bench, Edit, EditFault};
use proptest::prelude::*;

use crate::{BENCHES, bits, m, pair, place};

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
