//! A small kiln for the tests of this module.

use glost_model::kiln::{Band, Layer, Lining};
use glost_model::{Area, Length, Mass, Power, Temperature};

use super::input::{KilnInput, PostInput, ShelfInput, Tuning, WareInput};

/// 50 l, one level of shelves, raw ware of two thicknesses.
pub fn small() -> KilnInput {
    let brick = vec![Layer {
        lining: Lining::Brick23,
        thickness: Length::mm(64.0),
    }];
    let ware = |wall: f64| WareInput {
        foot: Length::mm(180.0),
        mass: Mass::kg(1.5),
        wall: Length::mm(wall),
        outside: Area::m2(0.08),
        foot_area: Area::m2(0.01),
        raw: true,
        water: 0.02,
    };
    KilnInput {
        plan: Area::m2(0.13),
        perimeter: Length::m(1.3),
        height: Length::m(0.4),
        wall: brick.clone(),
        floor: brick.clone(),
        lid: brick,
        bands: vec![Band {
            from: Length::ZERO,
            to: Length::m(0.4),
            power: Power::kw(4.0),
        }],
        ageing: 1.0,
        mains: 1.0,
        sensor_height: Length::m(0.2),
        sensor_reach: Length::mm(30.0),
        sensor_error: super::input::SensorError::default(),
        vent_fan: true,
        plugs_in_at: None,
        zoned: false,
        shelves: [20.0, 180.0]
            .map(|top| ShelfInput {
                side: glost_model::load::Side::Full,
                tiers: format!("{top}"),
                top: Length::mm(top),
                area: Area::m2(0.1),
                thickness: Length::mm(15.0),
                mass: Mass::kg(3.0),
            })
            .into(),
        posts: vec![PostInput {
            base: Length::mm(20.0),
            top: Length::mm(165.0),
            section: Length::mm(38.0),
        }],
        ware: vec![ware(5.0), ware(18.0)],
        room: Temperature::c(20.0),
        tuning: Tuning::default(),
        opening: super::OpeningLimits::USUAL,
        shown: glost_model::shown::Shown::default(),
    }
}
