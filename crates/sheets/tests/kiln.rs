//! Kilns are drawn to scale from their numbers, whatever these are.
#![expect(clippy::unwrap_used, reason = "a test fails by panicking")]

#[expect(dead_code, reason = "other drawings need more")]
mod made;
mod sound;

use glost_model::kiln::{Band, Kiln, Layer, Lining, Peephole, Sensor};
use glost_model::shape::Chamber;
use glost_model::shown::Shown;
use glost_model::{Angle, Length, Power};
use glost_sheets::{Known, Paper, kiln_svg};
use proptest::prelude::*;
use roxmltree::Document;
use sound::{number, sound};

fn made(width: f64, depth: f64, height: f64, rings: u8, thick: f64, clock: f64) -> Kiln {
    let mm = Length::mm;
    let mut kiln = made::studio().kilns.remove(0);
    kiln.chamber = Chamber::Rectangle {
        width: mm(width),
        depth: mm(depth),
    };
    kiln.height = mm(height);
    let each = height / f64::from(rings);
    kiln.bands = (0..rings)
        .map(|i| Band {
            from: mm(each * f64::from(i)),
            to: mm(each * f64::from(i + 1)),
            power: Power::kw(12.25),
        })
        .collect();
    let angle = Angle::deg(90.0 - 30.0 * clock);
    kiln.sensor = Sensor {
        angle,
        height: mm(height / 2.0),
        reach: mm(35.0),
    };
    kiln.peepholes = vec![Peephole {
        angle: Angle::deg(-60.0),
        height: mm(height / 3.0),
    }];
    let layers = vec![
        Layer {
            lining: Lining::Brick23,
            thickness: mm(thick),
        },
        Layer {
            lining: Lining::Fibre,
            thickness: mm(25.0),
        },
    ];
    (kiln.wall, kiln.floor, kiln.lid) = (layers.clone(), layers.clone(), layers);
    kiln
}

/// The chamber's width and height on paper: the last polygon of the plan, and the lines of the section.
fn drawn(svg: &str) -> (f64, f64) {
    let doc = Document::parse(svg).unwrap();
    let inner = doc
        .descendants()
        .rfind(|n| n.has_tag_name("polygon"))
        .unwrap();
    let xs: Vec<f64> = inner
        .attribute("points")
        .unwrap()
        .split(' ')
        .map(|p| p.split_once(',').unwrap().0.parse().unwrap())
        .collect();
    let wide =
        xs.iter().copied().fold(f64::MIN, f64::max) - xs.iter().copied().fold(f64::MAX, f64::min);
    let tall = doc
        .descendants()
        .filter(|n| n.has_tag_name("line") && (number(*n, "x1") - number(*n, "x2")).abs() < 1e-9)
        .filter(|n| n.attribute("stroke-width") == Some("1.2"))
        .map(|n| (number(n, "y2") - number(n, "y1")).abs())
        .fold(0.0, f64::max);
    (wide, tall)
}

#[test]
fn plan_and_section_have_one_scale() {
    let kiln = made(600.0, 450.0, 750.0, 3, 114.0, 9.0);
    for paper in [Paper::Sheet, Paper::Phone] {
        let svg = kiln_svg(&kiln, Known::ALL, Shown::default(), paper);
        sound(&svg);
        let (wide, tall) = drawn(&svg);
        assert!(
            (tall / wide - 750.0 / 600.0).abs() < 0.01,
            "{wide} × {tall}"
        );
    }
}

#[test]
fn what_is_not_known_is_left_out() {
    let kiln = made(600.0, 450.0, 750.0, 3, 114.0, 9.0);
    let none = Known {
        bands: false,
        sensor: false,
        lining: [false; 3],
    };
    let count = |known, tag: &str| {
        let svg = kiln_svg(&kiln, known, Shown::default(), Paper::Phone);
        let doc = Document::parse(&svg).unwrap();
        doc.descendants().filter(|n| n.has_tag_name(tag)).count()
    };
    // The ground and nothing else; the chamber alone; the peephole in both drawings.
    assert_eq!(
        (
            count(none, "rect"),
            count(none, "polygon"),
            count(none, "circle")
        ),
        (1, 1, 2)
    );
    assert_eq!(count(Known::ALL, "polygon"), 3);
    assert_eq!(count(Known::ALL, "circle"), 4);
    // Two strips a ring, two sides of two layers, two layers of floor and lid, the ground.
    assert_eq!(count(Known::ALL, "rect"), 6 + 4 + 4 + 1);
}

proptest! {
    #[test]
    fn any_kiln_stays_on_the_paper(
        width in 120.0..2500.0, depth in 120.0..2500.0, height in 120.0..2500.0, rings in 1_u8..12,
        thick in 20.0..300.0, clock in 0.0..12.0, inches: bool,
    ) {
        let kiln = made(width, depth, height, rings, thick, clock);
        let shown = Shown { inches, ..Shown::default() };
        for paper in [Paper::Sheet, Paper::Phone] {
            let svg = kiln_svg(&kiln, Known::ALL, shown, paper);
            let doc = Document::parse(&svg).unwrap();
            let view: Vec<f64> = doc.root_element().attribute("viewBox").unwrap().split(' ').map(|v| v.parse().unwrap()).collect();
            for n in doc.descendants().filter(|n| n.has_tag_name("circle")) {
                let (x, y, r) = (number(n, "cx"), number(n, "cy"), number(n, "r"));
                prop_assert!(x >= r && x + r <= view[2] && y >= r && y + r <= view[3], "{n:?}");
            }
            for n in doc.descendants().filter(|n| n.has_tag_name("rect") && n.has_attribute("x")) {
                prop_assert!(number(n, "x") >= 0.0 && number(n, "x") + number(n, "width") <= view[2]);
                prop_assert!(number(n, "y") >= 0.0 && number(n, "y") + number(n, "height") <= view[3]);
            }
        }
    }
}
