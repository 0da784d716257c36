//! Studios made up from a seed, to measure and to test the planner with. Everything in them is invented.

use std::collections::BTreeMap;

use glost_model::clay::{Clay, Glaze};
use glost_model::cone::{Cone, NotACone};
use glost_model::furniture::{
    Furniture, PostStock, ShelfShape, ShelfSpan, ShelfStock, SupportKind, SupportStock,
};
use glost_model::kiln::{Band, Controller, Kiln, Layer, Lining, Opening, Peephole, Sensor};
use glost_model::piece::{Delicacy, Dryness, Foot, Piece, Stage};
use glost_model::shape::{Chamber, Outline, Point};
use glost_model::shown::Shown;
use glost_model::studio::Studio;
use glost_model::tariff::Tariff;
use glost_model::{Angle, Length, Mass, Power, Span, Temperature};
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

/// Four chambers with shelves that fit them: round, octagonal, rectangular, oval.
fn rooms() -> [(Chamber, ShelfShape); 4] {
    let mm = Length::mm;
    [
        (
            Chamber::Circle {
                diameter: mm(590.0),
            },
            ShelfShape::Circle {
                diameter: mm(530.0),
            },
        ),
        (
            Chamber::RegularPolygon {
                sides: 8,
                across_flats: mm(600.0),
            },
            ShelfShape::RegularPolygon {
                sides: 8,
                across_flats: mm(540.0),
            },
        ),
        (
            Chamber::Rectangle {
                width: mm(610.0),
                depth: mm(560.0),
            },
            ShelfShape::Rectangle {
                width: mm(540.0),
                depth: mm(490.0),
            },
        ),
        (
            Chamber::Oval {
                length: mm(900.0),
                width: mm(560.0),
            },
            ShelfShape::Oval {
                length: mm(840.0),
                width: mm(500.0),
            },
        ),
    ]
}

/// A studio with one kiln `Test` and `count` pieces of mixed ware, most of it for cone 6. `room` chooses the
/// chamber: 0 round, 1 octagonal, 2 rectangular, 3 oval; higher numbers start over.
///
/// # Errors
/// None in fact: the names of cones in it are written here.
pub fn made_up(seed: u64, room: usize, count: usize) -> Result<Studio, NotACone> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let rooms = rooms();
    let (chamber, shape) = rooms[room % rooms.len()];
    let hottest = Cone::parse("10")?;
    let mm = Length::mm;
    let layer = |t| {
        vec![Layer {
            lining: Lining::Brick23,
            thickness: mm(t),
        }]
    };
    let kiln = Kiln {
        name: "Test".into(),
        chamber,
        height: mm(690.0),
        opening: Opening::Lid,
        bands: (0..3)
            .map(|i| Band {
                from: mm(230.0 * f64::from(i)),
                to: mm(230.0 * f64::from(i + 1)),
                power: Power::kw(2.8),
            })
            .collect(),
        sensor: Sensor {
            angle: Angle::deg(200.0),
            height: mm(345.0),
            reach: mm(35.0),
        },
        peepholes: vec![
            Peephole {
                angle: Angle::deg(300.0),
                height: mm(170.0),
            },
            Peephole {
                angle: Angle::deg(300.0),
                height: mm(520.0),
            },
        ],
        wall: layer(76.0),
        floor: layer(76.0),
        lid: layer(76.0),
        max_cone: hottest,
        max_temperature: Temperature::c(1290.0),
        element_ageing: 1.0,
        taught: None,
        vent_fan: false,
        controller: Controller {
            max_segments: 8,
            zoned: false,
            hold_step: Span::minutes(1.0),
        },
    };
    let shelf = |name: &str, span, count, kg| ShelfStock {
        name: name.into(),
        shape,
        span,
        thickness: mm(16.0),
        count,
        mass: Mass::kg(kg),
        load_limit: Mass::kg(20.0),
    };
    let support = |name: &str, kind, d, h| SupportStock {
        name: name.into(),
        kind,
        diameter: mm(d),
        height: mm(h),
        load_limit: Mass::kg(8.0),
        max_cone: hottest,
        count: 6,
    };
    let posts = [
        (25.0, 18),
        (50.0, 12),
        (75.0, 12),
        (100.0, 18),
        (125.0, 12),
        (150.0, 18),
        (200.0, 12),
        (250.0, 9),
    ];
    let furniture = Furniture {
        shelves: vec![
            shelf("full", ShelfSpan::Full, 5, 7.0),
            shelf("half", ShelfSpan::Half, 8, 3.5),
        ],
        posts: posts
            .iter()
            .map(|&(l, count)| PostStock {
                length: mm(l),
                count,
            })
            .collect(),
        post_section: mm(38.0),
        supports: vec![
            support("pins 50", SupportKind::PinSupport, 50.0, 15.0),
            support("slab 120", SupportKind::WasterSlab, 120.0, 10.0),
            support("slab 200", SupportKind::WasterSlab, 200.0, 10.0),
        ],
    };
    let clay = |name: &str, from: &str, to: &str| {
        Ok(Clay {
            name: name.into(),
            cone_from: Cone::parse(from)?,
            cone_to: Cone::parse(to)?,
            slumps_on_points: true,
            plucks: false,
            slow_burn_out: false,
            needs_leave: false,
        })
    };
    let (glaze_from, glaze_to) = (Cone::parse("5")?, Cone::parse("7")?);
    let glaze = |name: &str, runny, lead| Glaze {
        name: name.into(),
        cone_from: glaze_from,
        cone_to: glaze_to,
        runny,
        chrome: false,
        tin_white: false,
        volatile_colour: false,
        light: false,
        lead,
        slow_cool: false,
        own_firing: false,
    };
    let pieces = (0..count).map(|i| piece(i, &mut rng)).collect();
    Ok(Studio {
        name: "Made up".into(),
        kilns: vec![kiln],
        furniture,
        clays: vec![clay("stone", "4", "8")?, clay("low", "06", "02")?],
        glazes: vec![
            glaze("calm", false, false),
            glaze("wild", true, false),
            glaze("lead", false, true),
        ],
        pieces,
        hours: Default::default(),
        tariff: Tariff::flat("¤", 0.3),
        shown: Shown::default(),
        rule_overrides: BTreeMap::new(),
    })
}

fn piece(i: usize, rng: &mut ChaCha8Rng) -> Piece {
    let mm = Length::mm;
    let kind = rng.random_range(0..10);
    let (outline, height): (Outline, f64) = match kind {
        0..=4 => (
            Outline::Circle {
                diameter: mm(rng.random_range(70.0..130.0_f64).round()),
            },
            rng.random_range(60.0..130.0),
        ),
        5 => (
            Outline::Circle {
                diameter: mm(rng.random_range(200.0..270.0_f64).round()),
            },
            rng.random_range(25.0..60.0),
        ),
        6 => (
            Outline::Circle {
                diameter: mm(rng.random_range(90.0..150.0_f64).round()),
            },
            rng.random_range(180.0..320.0),
        ),
        7 => (
            Outline::Ellipse {
                length: mm(rng.random_range(120.0..260.0)),
                width: mm(rng.random_range(80.0..160.0)),
            },
            rng.random_range(30.0..120.0),
        ),
        8 => (
            Outline::Rectangle {
                length: mm(rng.random_range(80.0..200.0)),
                width: mm(rng.random_range(60.0..140.0)),
            },
            rng.random_range(20.0..150.0),
        ),
        _ => {
            let corner = |x: f64, y: f64| Point { x: mm(x), y: mm(y) };
            let points = vec![
                corner(-60.0, -40.0),
                corner(60.0, -40.0),
                corner(20.0, 0.0),
                corner(0.0, 70.0),
                corner(-40.0, 30.0),
            ];
            (Outline::Polygon { points }, rng.random_range(40.0..200.0))
        }
    };
    let glaze = match rng.random_range(0..20) {
        0 => "wild",
        1 => "lead",
        _ => "calm",
    };
    let odd = rng.random_range(0..40);
    Piece {
        id: format!("P{i:03}"),
        what: "ware".into(),
        maker: format!("M{}", i % 9),
        foot_outline: outline.clone(),
        widest: outline,
        height: mm(f64::round(height)),
        mass: Mass::kg(rng.random_range(0.2..2.5)),
        wall: mm(if odd == 0 {
            32.0
        } else if odd < 3 {
            18.0
        } else {
            6.0
        }),
        clay: if odd == 5 { "low" } else { "stone" }.into(),
        glazes: vec![glaze.into()],
        foot: if odd == 7 { Foot::Glazed } else { Foot::Wiped },
        glaze_margin: mm(if odd == 8 { 3.0 } else { 8.0 }),
        dryness: if odd == 9 {
            Dryness::Damp
        } else {
            Dryness::BoneDry
        },
        delicacy: if i.is_multiple_of(7) {
            Delicacy::Delicate
        } else {
            Delicacy::Usual
        },
        stage: Stage::Glazed,
        asked_cone: None,
        due: i.is_multiple_of(5).then(|| jiff::civil::date(2026, 12, 1)),
        came_in: Some(jiff::civil::date(2026, 11, 1)),
        priority: rng.random_range(1..=5),
        held: None,
        inside: None,
        group: (i % 20 < 2).then(|| format!("set {}", i / 20)),
    }
}
