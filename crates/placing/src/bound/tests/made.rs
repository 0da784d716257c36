//! Studios put together for tests. Nothing in them is a measure of quality.

use std::collections::BTreeMap;

use glost_model::clay::{Clay, Glaze};
use glost_model::cone::Cone;
use glost_model::furniture::{Furniture, PostStock, ShelfShape, ShelfSpan, ShelfStock};
use glost_model::kiln::{Band, Controller, Kiln, Layer, Lining, Opening, Sensor};
use glost_model::load::FiringKind;
use glost_model::piece::{Delicacy, Dryness, Foot, Piece, Stage};
use glost_model::shape::{Chamber, Outline};
use glost_model::shown::Shown;
use glost_model::studio::Studio;
use glost_model::tariff::Tariff;
use glost_model::{Angle, Length, Mass, Power, Span, Temperature};
use glost_rules::RuleBook;

use crate::plan::PlanAsk;

/// What differs from studio to studio; lengths in mm.
pub struct Setup {
    pub chamber: Chamber,
    pub shelf: ShelfShape,
    pub height: f64,
    pub thickness: f64,
    pub full: u16,
    pub half: u16,
    pub limit_kg: f64,
    pub posts: Vec<(f64, u16)>,
    pub section: f64,
    pub sensor: Sensor,
    pub pieces: Vec<Piece>,
}

pub fn mm(v: f64) -> Length {
    Length::mm(v)
}

pub fn cone(name: &str) -> Cone {
    Cone::parse(name).unwrap()
}

/// A sensor that is in nobody's way.
pub fn no_sensor() -> Sensor {
    Sensor {
        angle: Angle::deg(0.0),
        height: mm(1.0),
        reach: mm(1.0),
    }
}

/// A piece with a bare foot that needs nothing; `worth` is 1 to 5, or ten times that when `due`.
pub fn piece(id: usize, outline: Outline, height: f64, kg: f64, worth: u8, due: bool) -> Piece {
    Piece {
        id: format!("P{id:03}"),
        what: "ware".into(),
        maker: "M".into(),
        foot_outline: outline.clone(),
        widest: outline,
        height: mm(height),
        mass: Mass::kg(kg),
        wall: mm(6.0),
        clay: "stone".into(),
        glazes: vec!["calm".into()],
        foot: Foot::Wiped,
        glaze_margin: mm(8.0),
        dryness: Dryness::BoneDry,
        delicacy: Delicacy::Usual,
        stage: Stage::Glazed,
        asked_cone: None,
        due: due.then(|| jiff::civil::date(2026, 12, 1)),
        came_in: None,
        priority: worth,
        held: None,
        group: None,
        inside: None,
    }
}

pub fn studio(setup: Setup) -> Studio {
    let layer = || {
        vec![Layer {
            lining: Lining::Brick23,
            thickness: mm(76.0),
        }]
    };
    let kiln = Kiln {
        name: "Test".into(),
        chamber: setup.chamber,
        height: mm(setup.height),
        opening: Opening::Lid,
        bands: vec![Band {
            from: mm(0.0),
            to: mm(setup.height),
            power: Power::kw(8.0),
        }],
        sensor: setup.sensor,
        peepholes: vec![],
        wall: layer(),
        floor: layer(),
        lid: layer(),
        max_cone: cone("10"),
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
    let shelf = |name: &str, span, count| ShelfStock {
        name: name.into(),
        shape: setup.shelf,
        span,
        thickness: mm(setup.thickness),
        count,
        mass: Mass::kg(5.0),
        load_limit: Mass::kg(setup.limit_kg),
    };
    Studio {
        hours: Default::default(),
        name: "Made up".into(),
        kilns: vec![kiln],
        furniture: Furniture {
            shelves: vec![
                shelf("full", ShelfSpan::Full, setup.full),
                shelf("half", ShelfSpan::Half, setup.half),
            ],
            posts: setup
                .posts
                .iter()
                .map(|&(length, count)| PostStock {
                    length: mm(length),
                    count,
                })
                .collect(),
            post_section: mm(setup.section),
            supports: vec![],
        },
        clays: vec![Clay {
            name: "stone".into(),
            cone_from: cone("4"),
            cone_to: cone("8"),
            slumps_on_points: true,
            plucks: false,
            slow_burn_out: false,
            needs_leave: false,
        }],
        glazes: ["calm", "runny"]
            .map(|name| Glaze {
                name: name.into(),
                cone_from: cone("5"),
                cone_to: cone("7"),
                runny: name == "runny",
                chrome: false,
                tin_white: false,
                volatile_colour: false,
                light: false,
                lead: false,
                slow_cool: false,
                own_firing: false,
            })
            .into(),
        pieces: setup.pieces,
        tariff: Tariff::flat("¤", 0.3),
        shown: Shown::default(),
        rule_overrides: BTreeMap::new(),
    }
}

/// A book with these numbers in place of the defaults.
pub fn book(own: &[(&str, &str)]) -> RuleBook {
    let own = own.iter();
    let texts = own.map(|(id, text)| ((*id).to_owned(), (*text).to_owned()));
    RuleBook::from_overrides(&texts.collect(), "test").unwrap()
}

/// Numbers with which furniture takes no room, so that the geometry of a shelf is that of a book
/// of puzzles.
pub const BARE: [(&str, &str); 12] = [
    ("witness-packs", "0"),
    ("gap-ware", "2 mm"),
    ("gap-runny", "2 mm"),
    ("gap-wall", "0 mm"),
    ("gap-post", "0 mm"),
    ("gap-sensor", "0 mm"),
    ("gap-pack", "0 mm"),
    ("gap-floor", "20 mm"),
    ("post-inset", "0 mm"),
    ("tip-margin", "0 mm"),
    ("shelf-wall", "0 mm"),
    ("gap-lid", "25 mm"),
];

pub fn ask<'a>(studio: &'a Studio, book: &'a RuleBook, seed: u64, rounds: u32) -> PlanAsk<'a> {
    PlanAsk {
        studio,
        book,
        kiln: &studio.kilns[0].name,
        cone: cone("6"),
        kind: FiringKind::Glaze,
        today: jiff::civil::date(2026, 11, 25),
        seed,
        rounds,
        worth: None,
    }
}
