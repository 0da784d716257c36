//! Against exact answers of an outside solver: `tests/outside/levels.py`, which says how the
//! geometry of those shelves is decided.

use glost_model::furniture::ShelfShape;
use glost_model::shape::{Chamber, Outline};
use glost_model::studio::Studio;
use serde::Deserialize;

use super::made::{BARE, Setup, ask, book, mm, no_sensor, piece, studio};
use crate::{PlanError, plan, worth_at_most};

#[derive(Deserialize)]
struct Solved {
    solver: String,
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    kind: String,
    height: f64,
    wide: f64,
    thick: f64,
    full: u16,
    half: u16,
    limit_grams: f64,
    posts: Vec<(f64, u16)>,
    pieces: Vec<Box_>,
    best: f64,
    split: bool,
}

#[derive(Deserialize)]
struct Box_ {
    width: f64,
    height: f64,
    grams: f64,
    worth: u8,
    due: bool,
    group: Option<u32>,
}

const DEEP: f64 = 83.0;

fn made_of(case: &Case) -> Studio {
    let row = case.kind == "row";
    let pieces = case.pieces.iter().enumerate().map(|(i, b)| {
        let outline = if row {
            Outline::Rectangle {
                length: mm(b.width),
                width: mm(80.0),
            }
        } else {
            Outline::Circle {
                diameter: mm(b.width),
            }
        };
        let mut p = piece(i, outline, b.height, b.grams / 1000.0, b.worth, b.due);
        p.group = b.group.map(|g| format!("set {g}"));
        p
    });
    let wide = mm(case.wide);
    // Feet stay on the shelf, so what the chamber is wider gives no room.
    let beside = mm(case.wide + 20.0);
    let (chamber, shelf) = if row {
        (
            Chamber::Rectangle {
                width: beside,
                depth: mm(DEEP + 20.0),
            },
            ShelfShape::Rectangle {
                width: wide,
                depth: mm(DEEP),
            },
        )
    } else {
        (
            Chamber::Circle { diameter: beside },
            ShelfShape::Circle { diameter: wide },
        )
    };
    studio(Setup {
        chamber,
        shelf,
        height: case.height,
        thickness: case.thick,
        full: case.full,
        half: case.half,
        limit_kg: case.limit_grams / 1000.0,
        posts: case.posts.clone(),
        section: 1.0,
        sensor: no_sensor(),
        pieces: pieces.collect(),
    })
}

/// The best load lies between the planner's and the bound.
#[test]
fn the_best_load_lies_between_the_plan_and_the_bound() {
    let text = include_str!("../../../tests/data/levels.json");
    let solved: Solved = serde_json::from_str(text).unwrap();
    let book = book(&BARE);
    let (mut bound_gap, mut plan_gap) = (0.0, 0.0);
    let (mut planned, mut exact, mut split) = (0, 0, 0);
    for (n, case) in solved.cases.iter().enumerate() {
        let studio = made_of(case);
        let ask = ask(&studio, &book, 1, 10);
        let at_most = worth_at_most(&ask).unwrap();
        assert!(at_most >= case.best, "case {n}: {at_most} of {}", case.best);
        let value = match plan(&ask, &mut |_, _| true) {
            Ok(load) => {
                planned += 1;
                load.worth.value
            }
            Err(PlanError::NoShelf(_)) => 0.0,
            Err(e) => panic!("case {n}: {e}"),
        };
        assert!(value <= case.best, "case {n}: {value} of {}", case.best);
        let best = case.best.max(1.0);
        bound_gap += at_most / best - 1.0;
        plan_gap += 1.0 - value / best;
        exact += usize::from(at_most < case.best * 1.002 + 1e-3);
        split += usize::from(case.split);
    }
    let n = solved.cases.len();
    assert!(n > 40 && split > 3, "{n} cases, {split} with halves");
    assert!(planned > n / 2, "only {planned} of {n} planned");
    println!(
        "{n} cases by {}: the bound lies {:.1} % above the best on average and meets {exact}; \
         plans lie {:.1} % below",
        solved.solver,
        100.0 * bound_gap / n as f64,
        100.0 * plan_gap / n as f64
    );
}
