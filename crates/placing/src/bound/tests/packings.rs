//! Against loads put together from packings that are known to exist.

use glost_model::furniture::ShelfShape;
use glost_model::shape::{Chamber, Outline};

use super::made::{BARE, Setup, ask, book, mm, no_sensor, piece, studio};
use crate::worth_at_most;

/// Best-known ratios of circles in a circle by number (Packomania's list "cci").
fn ratio(n: usize) -> f64 {
    let text = include_str!("../../../data/circles_in_circle.csv");
    let mut rows = text.lines();
    let row = rows.find(|l| l.starts_with(&format!("{n},"))).unwrap();
    row.split(',').nth(1).unwrap().parse().unwrap()
}

/// Each level holds a best-known packing, and all of it is ware: none of it may be ruled out.
#[test]
fn shelves_packed_as_well_as_is_known_are_not_ruled_out() {
    let book = book(&BARE);
    let (radius, gap, thickness) = (250.0, 2.0, 10.0);
    for numbers in [
        vec![7],
        vec![19, 36],
        vec![12, 13, 14],
        vec![61, 3, 2],
        vec![91, 91],
        vec![5, 8, 23, 50],
        vec![4, 4, 4],
        vec![30, 1],
    ] {
        let mut pieces = Vec::new();
        let mut posts = vec![(20.0, 3)];
        let mut height = 20.0;
        for (level, n) in numbers.iter().enumerate() {
            // Grown by half the gap the circles lie in a circle grown as much.
            let r = (radius + gap / 2.0) / ratio(*n) - gap / 2.0 - 1e-6;
            let tall = 60.0 + 30.0 * level as f64;
            for _ in 0..*n {
                let diameter = mm(2.0 * r);
                pieces.push(piece(
                    pieces.len(),
                    Outline::Circle { diameter },
                    tall,
                    0.1,
                    3,
                    false,
                ));
            }
            let last = level + 1 == numbers.len();
            height += thickness + tall + if last { 25.0 } else { 12.0 };
            posts.push((tall + 12.0, 3));
        }
        let all = 3.0 * pieces.len() as f64;
        let diameter = mm(2.0 * radius);
        let full = u16::try_from(numbers.len()).unwrap();
        let made = studio(Setup {
            chamber: Chamber::Circle { diameter },
            shelf: ShelfShape::Circle { diameter },
            height,
            thickness,
            full,
            half: 0,
            limit_kg: 50.0,
            posts,
            section: 1.0,
            sensor: no_sensor(),
            pieces,
        });
        let at_most = worth_at_most(&ask(&made, &book, 1, 0)).unwrap();
        assert!(at_most >= all, "{numbers:?}: {at_most} of {all}");
        // One level less, and it shows.
        let mut less = made.clone();
        less.furniture.shelves[0].count -= 1;
        let fewer = worth_at_most(&ask(&less, &book, 1, 0)).unwrap();
        println!("{numbers:?}: {all}, at most {at_most:.1}; on one shelf less {fewer:.1}");
        assert!(fewer < all, "{numbers:?}: {fewer}");
    }
}

/// Boxes side by side without a gap but the least: all of them are ware.
#[test]
fn shelves_full_of_boxes_are_not_ruled_out() {
    let book = book(&BARE);
    for (nx, ny, w, d) in [
        (3, 3, 100.0, 100.0),
        (5, 2, 60.0, 150.0),
        (1, 4, 300.0, 80.0),
    ] {
        let count = |n: usize, size: f64| n as f64 * size + (n as f64 - 1.0) * 2.0;
        let (x, y) = (count(nx, w), count(ny, d));
        let outline = Outline::Rectangle {
            length: mm(w),
            width: mm(d),
        };
        let pieces = (0..2 * nx * ny)
            .map(|i| piece(i, outline.clone(), 80.0, 0.1, 2, false))
            .collect();
        let made = studio(Setup {
            chamber: Chamber::Rectangle {
                width: mm(x),
                depth: mm(y),
            },
            shelf: ShelfShape::Rectangle {
                width: mm(x),
                depth: mm(y),
            },
            height: 20.0 + 2.0 * 90.0 + 12.0 + 25.0,
            thickness: 10.0,
            full: 2,
            half: 0,
            limit_kg: 50.0,
            posts: vec![(20.0, 3), (92.0, 3)],
            section: 1.0,
            sensor: no_sensor(),
            pieces,
        });
        let all = 4.0 * (nx * ny) as f64;
        let at_most = worth_at_most(&ask(&made, &book, 1, 0)).unwrap();
        assert!(at_most >= all, "{nx} by {ny}: {at_most} of {all}");
    }
}
