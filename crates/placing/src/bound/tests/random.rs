//! Against the planner's own loads of made-up ware.

use glost_model::Angle;
use glost_model::furniture::ShelfShape;
use glost_model::kiln::Sensor;
use glost_model::piece::Piece;
use glost_model::shape::{Chamber, Outline, Point};
use glost_model::studio::Studio;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::made::{Setup, ask, book, mm, piece, studio};
use crate::{PlanError, plan, worth_bounds};

const INSTANCES: u64 = 1000;

fn room(rng: &mut ChaCha8Rng) -> (Chamber, ShelfShape) {
    let wide = rng.random_range(300.0..520.0_f64).round();
    let off = rng.random_range(20.0..70.0_f64).round();
    match rng.random_range(0..4) {
        0 => (
            Chamber::Circle {
                diameter: mm(wide + off),
            },
            ShelfShape::Circle { diameter: mm(wide) },
        ),
        1 => {
            let sides = rng.random_range(5..=12);
            (
                Chamber::RegularPolygon {
                    sides,
                    across_flats: mm(wide + off),
                },
                ShelfShape::RegularPolygon {
                    sides,
                    across_flats: mm(wide),
                },
            )
        }
        2 => {
            let deep = (wide * rng.random_range(0.7..1.0)).round();
            (
                Chamber::Rectangle {
                    width: mm(wide + off),
                    depth: mm(deep + off),
                },
                ShelfShape::Rectangle {
                    width: mm(wide),
                    depth: mm(deep),
                },
            )
        }
        _ => {
            let long = (wide * rng.random_range(1.1..1.6)).round();
            (
                Chamber::Oval {
                    length: mm(long + off),
                    width: mm(wide + off),
                },
                ShelfShape::Oval {
                    length: mm(long),
                    width: mm(wide),
                },
            )
        }
    }
}

fn ware(i: usize, rng: &mut ChaCha8Rng) -> Piece {
    let mut size = |lo: f64, hi: f64| mm(rng.random_range(lo..hi).round());
    let (outline, height) = match i % 5 {
        0 | 1 => (
            Outline::Circle {
                diameter: size(60.0, 130.0),
            },
            size(50.0, 140.0),
        ),
        2 => (
            Outline::Circle {
                diameter: size(130.0, 260.0),
            },
            size(25.0, 110.0),
        ),
        3 => (
            Outline::Rectangle {
                length: size(80.0, 220.0),
                width: size(60.0, 140.0),
            },
            size(20.0, 220.0),
        ),
        _ => (
            Outline::Ellipse {
                length: size(120.0, 230.0),
                width: size(80.0, 150.0),
            },
            size(30.0, 160.0),
        ),
    };
    let outline = if i % 11 == 10 {
        let corner = |x: f64, y: f64| Point { x: mm(x), y: mm(y) };
        let points = vec![
            corner(-60.0, -40.0),
            corner(60.0, -40.0),
            corner(20.0, 0.0),
            corner(0.0, 70.0),
            corner(-40.0, 30.0),
        ];
        Outline::Polygon { points }
    } else {
        outline
    };
    let kg = rng.random_range(0.2..2.5);
    let worth = rng.random_range(1..=5);
    let due = rng.random_range(0..4) == 0;
    let mut p = piece(i, outline, height.to_mm(), kg, worth, due);
    if rng.random_range(0..6) == 0 {
        p.glazes = vec!["runny".into()];
    }
    p.group = (rng.random_range(0..5) == 0).then(|| format!("set {}", i / 3));
    p
}

fn made_up(seed: u64) -> Studio {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let (chamber, shelf) = room(&mut rng);
    let mut posts: Vec<(f64, u16)> = vec![(25.0, 9)];
    for length in [40.0, 50.0, 75.0, 100.0, 110.0, 150.0, 200.0] {
        if rng.random_range(0..2) == 0 {
            posts.push((length, rng.random_range(2..16)));
        }
    }
    let pieces = (0..rng.random_range(3..15))
        .map(|i| ware(i, &mut rng))
        .collect();
    studio(Setup {
        chamber,
        shelf,
        height: rng.random_range(180.0..520.0_f64).round(),
        thickness: f64::from(rng.random_range(8..=20)),
        full: rng.random_range(1..=3),
        half: [8, 4, 6, 8][rng.random_range(0..4)],
        limit_kg: [20.0, 8.0, 4.0][rng.random_range(0..3)],
        posts,
        section: f64::from(rng.random_range(20..=45)),
        sensor: Sensor {
            angle: Angle::deg(rng.random_range(0.0..360.0)),
            height: mm(rng.random_range(40.0..400.0)),
            reach: mm(rng.random_range(10.0..50.0)),
        },
        pieces,
    })
}

/// No plan is worth more than its bound, whatever the chamber, shelves, posts and ware.
#[test]
fn no_plan_is_worth_more_than_its_bound() {
    let book = book(&[]);
    let (mut planned, mut split, mut full, mut gap) = (0, 0, 0, 0.0);
    for seed in 0..INSTANCES {
        let studio = made_up(seed);
        let ask = ask(&studio, &book, seed, 3);
        let load = match plan(&ask, &mut |_, _| true) {
            Ok(load) => load,
            Err(PlanError::NoShelf(_)) => continue,
            Err(e) => panic!("seed {seed}: {e}"),
        };
        let (value, at_most) = (load.worth.value, load.worth.at_most);
        assert!(value <= at_most + 1e-9, "seed {seed}: {value} of {at_most}");
        planned += 1;
        split += usize::from(load.tiers.iter().any(|t| t.shelf == "half"));
        full += usize::from(value >= at_most * 0.999);
        gap += 1.0 - value / at_most.max(1e-9);
    }
    assert!(
        planned > 800 && split > 50,
        "{planned} planned, {split} with halves"
    );
    println!(
        "{planned} loads, {split} with halves: {full} reach their bound, on average {:.1} % below it",
        100.0 * gap / f64::from(planned)
    );
}

/// The same question gets the same answer, bit for bit.
#[test]
fn the_bound_repeats() {
    let book = book(&[]);
    for seed in 0..10 {
        let (a, b) = (made_up(seed), made_up(seed));
        let of = |s: &Studio| worth_bounds(&ask(s, &book, 1, 0)).unwrap();
        assert_eq!(of(&a), of(&b));
        assert!(of(&a).typical_best <= of(&a).at_most);
    }
}
