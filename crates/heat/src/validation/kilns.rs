//! Round kilns of one brick, and firings of them, for validation and for measuring.

use std::f64::consts::PI;

use glost_model::cone::Cone;
use glost_model::firing::{FiringPlan, Segment};
use glost_model::kiln::{Band, Layer, Lining};
use glost_model::load::Side;
use glost_model::tariff::Tariff;
use glost_model::{Area, Length, Mass, Power, Rate, Span, Temperature};

use crate::kiln::{
    KilnInput, OpeningLimits, PostInput, SensorError, ShelfInput, Tuning, WareInput,
};

/// Sizes of a kiln.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sizes {
    /// Radius of the chamber, m.
    pub radius: f64,
    /// Inside height, m.
    pub height: f64,
    /// Thickness of the brick, mm.
    pub brick_mm: f64,
    /// Power, kW.
    pub kw: f64,
    /// All shelves, kg.
    pub shelves_kg: f64,
    /// All ware, kg.
    pub ware_kg: f64,
    /// How many shelves.
    pub levels: usize,
}

/// 0.2 m³, worked out by hand: brick of 520 kg/m³, 45 kg of cordierite, 40 kg of ware \[derived here\].
pub const REFERENCE: Sizes = Sizes {
    radius: 0.29,
    height: 0.76,
    brick_mm: 64.0,
    kw: 11.0,
    shelves_kg: 45.0,
    ware_kg: 40.0,
    levels: 4,
};

/// 0.074 m³ with 76 mm of brick, as the one that was logged (potters.org 43125).
pub const SMALL: Sizes = Sizes {
    radius: 0.23,
    height: 0.445,
    brick_mm: 76.0,
    kw: 5.75,
    shelves_kg: 12.0,
    ware_kg: 14.0,
    levels: 3,
};

/// A kiln of the reference's width with this many tiers of the same height.
pub fn tiers(levels: usize) -> Sizes {
    let times = levels as f64 / 4.0;
    Sizes {
        height: 0.76 * times,
        kw: 11.0 * times,
        shelves_kg: 45.0 * times,
        ware_kg: 40.0 * times,
        levels,
        ..REFERENCE
    }
}

/// What everything costs.
pub fn tariff() -> Tariff {
    Tariff::flat("EUR", 0.3)
}

/// The kiln with its load.
pub fn kiln(sizes: &Sizes) -> KilnInput {
    let Sizes {
        radius,
        height,
        brick_mm,
        kw,
        shelves_kg,
        ware_kg,
        levels,
    } = *sizes;
    let layer = vec![Layer {
        lining: Lining::Brick23,
        thickness: Length::mm(brick_mm),
    }];
    let step = height / levels as f64;
    let foot = |i: usize| Length::m(0.04 + step * i as f64);
    let shelf_m2 = PI * (radius - 0.03).powi(2);
    let piece_kg = ware_kg / levels as f64 / 6.0;
    let thickness = (shelves_kg / levels as f64 / shelf_m2 / 2000.0).min(0.019);
    let band = |i: u8| Band {
        from: Length::m(height / 3.0 * f64::from(i)),
        to: Length::m(height / 3.0 * f64::from(i + 1)),
        power: Power::kw(kw / 3.0),
    };
    let shelf = |i: usize| ShelfInput {
        side: Side::Full,
        tiers: format!("{}", i + 1),
        top: foot(i),
        area: Area::m2(shelf_m2),
        thickness: Length::m(thickness),
        mass: Mass::kg(shelf_m2 * thickness * 2000.0),
    };
    let post = |i: usize| PostInput {
        base: foot(i),
        top: Length::m(step * (i + 1) as f64),
        section: Length::mm(40.0),
    };
    let piece = |i: usize| WareInput {
        foot: foot(i),
        mass: Mass::kg(piece_kg),
        wall: Length::mm(6.0),
        outside: Area::m2(0.05 * piece_kg / 0.4),
        foot_area: Area::m2(0.004),
        raw: false,
        water: 0.01,
    };
    KilnInput {
        plan: Area::m2(PI * radius * radius),
        perimeter: Length::m(2.0 * PI * radius),
        height: Length::m(height),
        wall: layer.clone(),
        floor: layer.clone(),
        lid: layer,
        bands: (0..3).map(band).collect(),
        ageing: 1.0,
        mains: 1.0,
        sensor_height: Length::m(height / 2.0),
        sensor_reach: Length::mm(40.0),
        sensor_error: SensorError::default(),
        vent_fan: false,
        plugs_in_at: None,
        zoned: false,
        shelves: (0..levels).map(shelf).collect(),
        posts: (0..levels).flat_map(|i| [post(i); 3]).collect(),
        ware: (0..levels).flat_map(|i| [piece(i); 6]).collect(),
        room: Temperature::c(25.0),
        tuning: Tuning::default(),
        opening: OpeningLimits::USUAL,
        shown: glost_model::shown::Shown::default(),
    }
}

/// Segments of rate, °C/h (0: as fast as the kiln can), target, °C, and hold, min.
/// Nothing for a cone that is none.
pub fn plan(cone: &str, segments: &[(f64, f64, f64)]) -> Option<FiringPlan> {
    let segments = segments.iter().map(|(rate, target, minutes)| Segment {
        rate: (*rate > 0.0).then(|| Rate::c_per_h(*rate)),
        target: Temperature::c(*target),
        hold: Span::minutes(*minutes),
        reason: String::new(),
    });
    Some(FiringPlan::new(Cone::parse(cone).ok()?, segments.collect()))
}

/// The small kiln fired with two hours of drying, a ramp that asks for all its power, a hold and a controlled
/// cooling.
pub fn small_firing() -> Option<FiringPlan> {
    plan(
        "6",
        &[
            (80.0, 110.0, 120.0),
            (150.0, 1080.0, 0.0),
            (60.0, 1190.0, 15.0),
            (100.0, 1000.0, 20.0),
        ],
    )
}

/// A slow firing that with its cooling takes about 60 h.
pub fn long_firing() -> Option<FiringPlan> {
    plan(
        "6",
        &[
            (60.0, 110.0, 600.0),
            (60.0, 600.0, 30.0),
            (100.0, 1100.0, 0.0),
            (60.0, 1205.0, 15.0),
            (60.0, 1000.0, 60.0),
        ],
    )
}
