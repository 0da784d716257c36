//! What is placed on bare shelves is accepted by the judge, which has its own geometry.

use glost_check::{Laid, layout_fault};
use glost_model::Length;
use glost_model::shape::{Chamber, Outline};
use glost_placing::bare::{BareShelf, Effort, Post, Stand, densest, most, narrowest};
use proptest::prelude::*;

fn mm(v: f64) -> Length {
    Length::mm(v)
}

fn outline() -> impl Strategy<Value = Outline> {
    (0..3, 30.0..160.0, 30.0..110.0).prop_map(|(form, a, b)| match form {
        0 => Outline::Circle { diameter: mm(a) },
        1 => Outline::Ellipse {
            length: mm(a),
            width: mm(b),
        },
        _ => Outline::Rectangle {
            length: mm(a),
            width: mm(b),
        },
    })
}

fn form() -> impl Strategy<Value = Chamber> {
    (0..4, 380.0..600.0, 380.0..600.0).prop_map(|(form, a, b)| match form {
        0 => Chamber::Circle { diameter: mm(a) },
        1 => Chamber::RegularPolygon {
            sides: 8,
            across_flats: mm(a),
        },
        2 => Chamber::Oval {
            length: mm(f64::max(a, b)),
            width: mm(f64::min(a, b)),
        },
        _ => Chamber::Rectangle {
            width: mm(a),
            depth: mm(b),
        },
    })
}

fn shelf() -> impl Strategy<Value = BareShelf> {
    (form(), 0..3usize, 0.0..12.0, 0.0..12.0).prop_map(|(form, posts, gap, edge)| BareShelf {
        form,
        posts: (0..posts)
            .map(|i| Post {
                x: mm(110.0 * i as f64 - 60.0),
                y: mm(40.0),
                radius: mm(19.0),
            })
            .collect(),
        gap: mm(gap),
        edge_gap: mm(edge),
    })
}

const EFFORT: Effort = Effort {
    seconds: f64::INFINITY,
    seed: 3,
    rounds: 12,
};

fn fault(shelf: &BareShelf, outlines: &[Outline], poses: &[Option<Stand>]) -> Option<String> {
    assert_eq!(outlines.len(), poses.len());
    let on = outlines.iter().zip(poses);
    let laid: Vec<Laid<'_>> = on
        .filter_map(|(outline, p)| {
            p.map(|p| Laid {
                outline,
                at: [p.x.to_m(), p.y.to_m(), p.turn.to_rad()],
            })
        })
        .collect();
    let posts: Vec<[f64; 3]> = shelf
        .posts
        .iter()
        .map(|p| [p.x.to_m(), p.y.to_m(), p.radius.to_m()])
        .collect();
    layout_fault(&shelf.form, &posts, shelf.gap, shelf.edge_gap, &laid)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn all_at_their_largest_scale_are_accepted(shelf in shelf(), outlines in prop::collection::vec(outline(), 1..7)) {
        let found = densest(&shelf, &outlines, EFFORT).unwrap();
        let grown: Vec<Outline> = outlines.iter().map(|o| o.scaled(found.scale)).collect();
        let poses: Vec<Option<Stand>> = found.poses.iter().copied().map(Some).collect();
        prop_assert_eq!(fault(&shelf, &grown, &poses), None);
        prop_assert!(found.density > 0.0 && found.density < 1.0);
    }

    #[test]
    fn the_most_are_accepted(shelf in shelf(), outlines in prop::collection::vec(outline(), 0..20)) {
        let found = most(&shelf, &outlines, Effort { rounds: 40, ..EFFORT }).unwrap();
        prop_assert_eq!(fault(&shelf, &outlines, &found.poses), None);
        let on = outlines.iter().zip(&found.poses).filter(|(_, p)| p.is_some());
        let sum: f64 = on.map(|(o, _)| o.area().to_m2()).sum();
        prop_assert!((sum - found.area.to_m2()).abs() < 1e-9);
    }

    #[test]
    fn the_narrowest_is_accepted(height in 200.0..400.0, gap in 0.0..10.0, outlines in prop::collection::vec(outline(), 1..7)) {
        let found = narrowest(mm(height), &outlines, mm(gap), EFFORT).unwrap();
        let strip = BareShelf {
            form: Chamber::Rectangle { width: found.width, depth: mm(height) },
            posts: Vec::new(),
            gap: mm(gap),
            edge_gap: mm(gap),
        };
        let poses: Vec<Option<Stand>> = found.poses.iter().copied().map(Some).collect();
        prop_assert_eq!(fault(&strip, &outlines, &poses), None);
    }
}

#[test]
fn what_is_higher_than_the_strip_finds_no_width() {
    let tall = [Outline::Circle {
        diameter: mm(300.0),
    }];
    let found = narrowest(mm(290.0), &tall, mm(6.0), EFFORT);
    assert!(found.is_err_and(|e| e.to_string().contains("no width")));
}
