//! What a person does, and what is said to it.

use glost_model::Length;
use glost_studio::compare;
use glost_studio::edit::{Edit, EditFault};

use crate::{BENCHES, HERON, bits, m, pair, place, shift};

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
