//! Ware that waits for the kiln.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::{Length, Mass};
use crate::shape::Outline;

/// Names a piece, as on its slip.
pub type PieceId = String;

/// What stage a piece is at, which decides the kind of firing it can join.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Stage {
    /// Unfired clay.
    Greenware,
    /// Glazed and ready for its glaze firing (bisqued, or raw glazed where the studio allows it).
    Glazed,
}

/// What is on the foot.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Foot {
    /// Never glazed.
    Bare,
    /// Wiped clean.
    Wiped,
    /// Glazed: it may not meet a shelf.
    Glazed,
}

/// How dry a piece is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Dryness {
    /// Dry through, or bisqued with its glaze dry.
    BoneDry,
    /// Probably dry: asks for the longer preheat.
    Doubtful,
    /// Cold to the cheek: not loaded.
    Damp,
}

/// How a piece bears handling and place.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Delicacy {
    /// Sturdy.
    Sturdy,
    /// As most ware.
    Usual,
    /// Thin, fine or touchy: stands high.
    Delicate,
}

/// How a piece is hollow, which decides what may stand in it or on its rim.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Inside {
    /// Its rim is its widest part, handles and all, and nowhere is it narrower than its foot.
    Open,
    /// As open, and its wall runs straight from foot to rim, to within 2 mm.
    Straight,
    /// Anything else: a narrow neck, a lid, a handle that sticks out, a solid thing.
    Closed,
}

/// Why the person who looked a piece over keeps it back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Held {
    /// Cracked before it was fired.
    Cracked,
    /// Glaze so thick that it will run or crawl.
    Overglazed,
    /// Something that is not clay is stuck to it.
    Attached,
    /// Its maker would have it sold as safe for food, and nobody has shown that it is.
    FoodClaim,
    /// It holds a material that this studio does not fire.
    Banned,
    /// Nobody knows whose it is.
    NoName,
    /// It was never written into the studio's book.
    NotLogged,
    /// No safe way to stand it has been found.
    CannotStand,
}

/// One piece of ware.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Piece {
    /// Name on the slip, unique in the studio.
    pub id: PieceId,
    /// What it is, in words.
    pub what: String,
    /// Who made it.
    pub maker: String,
    /// What stands on the shelf; centred on `widest`.
    pub foot_outline: Outline,
    /// The widest part seen from above.
    pub widest: Outline,
    /// Whole height, m.
    #[serde(rename = "height_m")]
    pub height: Length,
    /// Mass as it is loaded, kg.
    #[serde(rename = "mass_kg")]
    pub mass: Mass,
    /// Thickest section, m.
    #[serde(rename = "wall_m")]
    pub wall: Length,
    /// Clay, a name in the studio's list.
    pub clay: String,
    /// Glazes, names in the studio's list; empty for bare ware.
    pub glazes: Vec<String>,
    /// What is on the foot.
    pub foot: Foot,
    /// Bare margin above the foot, m.
    #[serde(rename = "glaze_margin_m")]
    pub glaze_margin: Length,
    /// How dry it is.
    pub dryness: Dryness,
    /// How it bears handling.
    pub delicacy: Delicacy,
    /// Greenware or glazed.
    pub stage: Stage,
    /// The cone its maker asked for, when one was written on the slip.
    pub asked_cone: Option<crate::cone::Cone>,
    /// When it must be back with its maker.
    #[schemars(with = "Option<String>")]
    pub due: Option<Date>,
    /// When it came in.
    #[schemars(with = "Option<String>")]
    pub came_in: Option<Date>,
    /// 1 (can wait) to 5 (first).
    pub priority: u8,
    /// Why it is kept back, if somebody has said so.
    #[serde(default)]
    pub held: Option<Held>,
    /// How it is hollow; nothing when nobody has said, and then nothing goes into it or rim to rim with it.
    #[serde(default)]
    pub inside: Option<Inside>,
    /// Pieces with the same group go together or not at all (a jar and its lid, a set).
    pub group: Option<String>,
}
