//! From the studio's kiln and a load plan to what the kiln model needs.

use std::f64::consts::PI;

use glost_model::furniture::{ShelfShape, ShelfSpan};
use glost_model::kiln::Kiln;
use glost_model::load::LoadPlan;
use glost_model::piece::{Dryness, Piece, Stage};
use glost_model::shape::{Chamber, Outline};
use glost_model::studio::Studio;
use glost_model::{Area, Length, Mass, Temperature};

use super::input::{KilnInput, PostInput, SensorError, ShelfInput, Tuning, WareInput};
use super::opening::OpeningLimits;
use crate::learn;

/// Temperature of a room that nobody measured.
const ROOM: Temperature = Temperature::c(20.0);

/// The kiln with the load of a plan, where its own firings say that it is. Shelves and pieces that the studio does not
/// have are left out.
pub fn from_plan(studio: &Studio, kiln: &Kiln, plan: &LoadPlan) -> KilnInput {
    let (plan_area, perimeter) = chamber(&kiln.chamber);
    let shelves = plan.tiers.iter().filter_map(|t| {
        let stock = studio
            .furniture
            .shelves
            .iter()
            .find(|s| s.name == t.shelf)?;
        let share = match stock.span {
            ShelfSpan::Full => 1.0,
            ShelfSpan::Half => 0.5,
        };
        Some(ShelfInput {
            side: t.side,
            tiers: t.name.clone(),
            top: t.top_m,
            area: shelf_area(&stock.shape) * share,
            thickness: stock.thickness,
            mass: stock.mass,
        })
    });
    let posts = plan.tiers.iter().flat_map(|t| &t.posts).map(|p| PostInput {
        base: p.base_m,
        top: p.top(),
        section: studio.furniture.post_section,
    });
    let ware = plan.placed().filter_map(|(tier, placed)| {
        let piece = studio.piece(&placed.piece)?;
        Some(ware(piece, tier.top_m + placed.raised_m))
    });
    let mut input = KilnInput {
        plan: plan_area,
        perimeter,
        height: kiln.height,
        wall: kiln.wall.clone(),
        floor: kiln.floor.clone(),
        lid: kiln.lid.clone(),
        bands: kiln.bands.clone(),
        ageing: kiln.element_ageing,
        mains: 1.0,
        sensor_height: kiln.sensor.height,
        sensor_reach: kiln.sensor.reach,
        sensor_error: SensorError::default(),
        vent_fan: kiln.vent_fan,
        plugs_in_at: None,
        zoned: kiln.controller.zoned,
        shelves: shelves.collect(),
        posts: posts.collect(),
        ware: ware.collect(),
        room: ROOM,
        tuning: Tuning::default(),
        opening: OpeningLimits::of(studio, plan),
        shown: studio.shown,
    };
    learn::taught::apply(kiln, &mut input);
    input
}

/// Area and length around.
fn chamber(shape: &Chamber) -> (Area, Length) {
    match *shape {
        Chamber::Circle { diameter } => (Area::m2(PI / 4.0 * sq(diameter)), diameter * PI),
        Chamber::RegularPolygon {
            sides,
            across_flats,
        } => {
            let (n, tan) = polygon(sides);
            (
                Area::m2(n * sq(across_flats) / 4.0 * tan),
                across_flats * (n * tan),
            )
        }
        Chamber::Oval { length, width } => (
            Area::m2(PI / 4.0 * sq(width)) + (length - width) * width,
            width * PI + (length - width) * 2.0,
        ),
        Chamber::Rectangle { width, depth } => (width * depth, (width + depth) * 2.0),
    }
}

fn polygon(sides: u8) -> (f64, f64) {
    let n = f64::from(sides.max(3));
    (n, (PI / n).tan())
}

fn sq(l: Length) -> f64 {
    l.to_m() * l.to_m()
}

fn shelf_area(shape: &ShelfShape) -> Area {
    match *shape {
        ShelfShape::Circle { diameter } => Area::m2(PI / 4.0 * sq(diameter)),
        ShelfShape::RegularPolygon {
            sides,
            across_flats,
        } => {
            let (n, tan) = polygon(sides);
            Area::m2(n * sq(across_flats) / 4.0 * tan)
        }
        ShelfShape::Oval { length, width } => {
            Area::m2(PI / 4.0 * sq(width)) + (length - width) * width
        }
        ShelfShape::Rectangle { width, depth } => width * depth,
    }
}

fn ware(piece: &Piece, foot: Length) -> WareInput {
    let raw = piece.stage == Stage::Greenware;
    // Water left in ware, share of its mass: bone-dry clay holds 1 to 3 % and bisque with its dry
    // glaze about 1 %, from memory; the rest proposed.
    let water = match (piece.dryness, raw) {
        (Dryness::BoneDry, true) => 0.02,
        (Dryness::BoneDry, false) => 0.01,
        (Dryness::Doubtful, _) => 0.05,
        (Dryness::Damp, _) => 0.15,
    };
    WareInput {
        foot,
        mass: piece.mass.max(Mass::g(1.0)),
        wall: piece.wall.max(Length::mm(1.0)),
        outside: around(&piece.widest) * piece.height + piece.widest.area(),
        foot_area: piece.foot_outline.area(),
        raw,
        water,
    }
}

/// About the length around an outline: its convex hull is near a circle or its own rectangle.
fn around(outline: &Outline) -> Length {
    match outline {
        Outline::Circle { diameter } => *diameter * PI,
        Outline::Rectangle { length, width } => (*length + *width) * 2.0,
        other => Length::m(2.0 * (PI * other.area().to_m2()).sqrt() * 1.08),
    }
}
