//! A kiln with its load as data for a script that draws it: outlines as corners, places, heights and
//! words. Metres and radians throughout; corners are rounded to 0.1 mm.

use std::collections::BTreeMap;

use glost_model::Angle;
use glost_model::kiln::{Kiln, Opening};
use glost_model::load::{How, LeftOut, LoadPlan, Placed, Side};
use glost_model::piece::Inside;
use glost_model::shape::Outline;
use glost_model::studio::Studio;
use serde::Serialize;

use crate::outline;
use crate::svg::Spot;
use crate::tier::standing_on;

/// What does not change while a load is changed by hand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct KilnScene {
    /// Name.
    pub name: String,
    /// Hinge or door, which are toward +y.
    pub back: &'static str,
    /// From floor to lid, m.
    pub height: f64,
    /// Corners of the chamber's wall, m.
    pub chamber: Vec<Spot>,
    /// Rings of elements, from and to, m.
    pub bands: Vec<Spot>,
    /// The sensor's foot in the wall, its tip and its height, m.
    pub sensor: (Spot, Spot, f64),
    /// Peepholes: where in the wall, and how high, m.
    pub peepholes: Vec<(Spot, f64)>,
    /// Side of a post's section, m.
    pub post: f64,
    /// Radius of the room that a pack of cones keeps, and its height, m.
    pub pack: Spot,
    /// Ware by its name.
    pub pieces: BTreeMap<String, PieceScene>,
    /// Supports by their name: diameter and height, m.
    pub supports: BTreeMap<String, Spot>,
}

/// A piece.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PieceScene {
    /// What it is.
    pub what: String,
    /// Who made it.
    pub maker: String,
    /// Its height, m.
    pub height: f64,
    /// Seen from above, about its middle.
    pub widest: Corners,
    /// What stands on the shelf.
    pub foot: Corners,
    /// Whether one can look into it from above.
    pub open: bool,
}

/// An outline about its own middle.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Corners {
    /// A circle of this diameter, m.
    Round(f64),
    /// Any other, m.
    Corners(Vec<Spot>),
}

/// A tier with its ware.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TierScene {
    /// Name.
    pub name: String,
    /// Which part of the plan it covers.
    pub side: Side,
    /// Top face of its shelf above the floor, m.
    pub top: f64,
    /// Clear height above, m.
    pub clear: f64,
    /// Of the shelf, m.
    pub thick: f64,
    /// Corners of the shelf, m.
    pub shelf: Vec<Spot>,
    /// Posts under it: middle, foot and top, m.
    pub posts: Vec<(Spot, f64, f64)>,
    /// Middles of the posts that stand on it, m.
    pub carries: Vec<Spot>,
    /// Middles of its packs of cones, m.
    pub packs: Vec<Spot>,
    /// Its ware in placing order.
    pub ware: Vec<WareScene>,
}

/// A piece in its place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WareScene {
    /// Which.
    pub piece: String,
    /// Middle, m. Not rounded: it is sent back when the piece is turned.
    pub x: f64,
    /// Middle, m.
    pub y: f64,
    /// Turned by, rad.
    pub turn: f64,
    /// Height of its lowest part above the shelf, m.
    pub raised: f64,
    /// Names of its supports.
    pub supports: Vec<String>,
    /// What it stands on when that is another piece.
    pub on: Option<String>,
    /// Upside down.
    pub down: bool,
    /// Where it stands, as a loader reads it.
    pub words: String,
    /// How far its nearest neighbour is, as a loader reads it.
    pub gap: String,
}

fn round(v: f64) -> f64 {
    (v * 1e4).round() / 1e4
}

fn spots(corners: Vec<Spot>) -> Vec<Spot> {
    corners
        .into_iter()
        .map(|(x, y)| (round(x), round(y)))
        .collect()
}

fn corners(shape: &Outline) -> Corners {
    let zero = glost_model::Length::ZERO;
    match shape {
        Outline::Circle { diameter } => Corners::Round(round(diameter.to_m())),
        other => {
            let all = outline::placed(other, zero, zero, Angle::ZERO);
            // A phone draws no more corners of a round than it shows.
            let step = if all.len() > 64 { 2 } else { 1 };
            Corners::Corners(spots(all.into_iter().step_by(step).collect()))
        }
    }
}

/// The kiln, and all ware that goes or stays out.
pub fn kiln_scene(studio: &Studio, kiln: &Kiln, load: &LoadPlan) -> KilnScene {
    let wall = outline::chamber(&kiln.chamber);
    let foot = outline::on_wall(&wall, kiln.sensor.angle);
    let far = foot.0.hypot(foot.1).max(1e-6);
    let share = ((far - kiln.sensor.reach.to_m()) / far).max(0.0);
    let goes = load.placed().map(|(_, p)| &p.piece);
    let ids = goes.chain(load.left_out.iter().map(|l| &l.piece));
    let supports = studio.furniture.supports.iter();
    KilnScene {
        name: kiln.name.clone(),
        back: match kiln.opening {
            Opening::Lid => "hinge",
            Opening::Door => "door",
        },
        height: kiln.height.to_m(),
        bands: kiln
            .bands
            .iter()
            .map(|b| (b.from.to_m(), b.to.to_m()))
            .collect(),
        sensor: (
            foot,
            (foot.0 * share, foot.1 * share),
            kiln.sensor.height.to_m(),
        ),
        peepholes: kiln
            .peepholes
            .iter()
            .map(|p| (outline::on_wall(&wall, p.angle), p.height.to_m()))
            .collect(),
        chamber: spots(wall),
        post: studio.furniture.post_section.to_m(),
        pack: (
            glost_model::load::CONE_PACK_RADIUS.to_m(),
            glost_model::load::CONE_PACK_HEIGHT.to_m(),
        ),
        pieces: ids
            .filter_map(|id| studio.piece(id))
            .map(|p| {
                let scene = PieceScene {
                    what: p.what.clone(),
                    maker: p.maker.clone(),
                    height: p.height.to_m(),
                    widest: corners(&p.widest),
                    foot: corners(&p.foot_outline),
                    open: matches!(p.inside, Some(Inside::Open | Inside::Straight)),
                };
                (p.id.clone(), scene)
            })
            .collect(),
        supports: supports
            .map(|s| (s.name.clone(), (s.diameter.to_m(), s.height.to_m())))
            .collect(),
    }
}

/// A tier of the load by its number, as far as it and its shelf are known.
pub fn tier_scene(studio: &Studio, load: &LoadPlan, number: usize) -> Option<TierScene> {
    let tier = load.tiers.get(number)?;
    let mut shelves = studio.furniture.shelves.iter();
    let stock = shelves.find(|s| s.name == tier.shelf)?;
    Some(TierScene {
        name: tier.name.clone(),
        side: tier.side,
        top: tier.top_m.to_m(),
        clear: tier.clear_m.to_m(),
        thick: stock.thickness.to_m(),
        shelf: spots(outline::shelf(stock, tier.side)),
        posts: tier
            .posts
            .iter()
            .map(|p| {
                let at = (p.x_m.to_m(), p.y_m.to_m());
                (at, p.base_m.to_m(), p.top().to_m())
            })
            .collect(),
        carries: standing_on(load, tier)
            .map(|p| (p.x_m.to_m(), p.y_m.to_m()))
            .collect(),
        packs: tier
            .cone_packs
            .iter()
            .map(|p| (p.x_m.to_m(), p.y_m.to_m()))
            .collect(),
        ware: tier.pieces.iter().map(|p| ware(studio, p)).collect(),
    })
}

fn ware(studio: &Studio, p: &Placed) -> WareScene {
    let shown = studio.shown;
    WareScene {
        piece: p.piece.clone(),
        x: p.x_m.to_m(),
        y: p.y_m.to_m(),
        turn: p.rotation_rad.to_rad(),
        raised: p.raised_m.to_m(),
        supports: p.supports.clone(),
        on: p.on.as_ref().map(|on| on.piece.clone()),
        down: p.on.as_ref().is_some_and(|on| on.how == How::RimToRim),
        words: match &p.on {
            Some(on) => on.words(),
            None => crate::place(shown, p.x_m, p.y_m),
        },
        gap: shown.length(p.gap_m),
    }
}

/// What stays out: name, why and what would let it in.
pub fn out_scene(load: &LoadPlan) -> Vec<(&str, &str, &str)> {
    let all = load.left_out.iter();
    all.map(|l: &LeftOut| (l.piece.as_str(), l.why.as_str(), l.remedy.as_str()))
        .collect()
}
