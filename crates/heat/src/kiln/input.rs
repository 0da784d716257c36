//! What the kiln model needs to know of a kiln and its load.

use super::opening::OpeningLimits;
use glost_model::kiln::{Band, Layer};
use glost_model::load::Side;
use glost_model::shown::Shown;
use glost_model::{Area, Length, Mass, TempDiff, Temperature};

/// A shelf, or two halves at about one height.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfInput {
    /// Over all of the chamber, or which half.
    pub side: Side,
    /// Names of the tiers, as `2L, 2R`.
    pub tiers: String,
    /// Height of the top face above the kiln floor.
    pub top: Length,
    /// Area of one face.
    pub area: Area,
    /// Thickness.
    pub thickness: Length,
    /// Mass.
    pub mass: Mass,
}

/// A post, or a stack of posts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PostInput {
    /// Height of its foot above the kiln floor.
    pub base: Length,
    /// Height of its top.
    pub top: Length,
    /// Side of its section.
    pub section: Length,
}

/// A piece of ware.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WareInput {
    /// Height of its foot above the kiln floor.
    pub foot: Length,
    /// Mass as loaded.
    pub mass: Mass,
    /// Thickest section.
    pub wall: Length,
    /// Outside area that its surroundings see, its foot left out.
    pub outside: Area,
    /// Area of its foot.
    pub foot_area: Area,
    /// Unfired clay, which still holds its bound water.
    pub raw: bool,
    /// Free water as a share of the mass.
    pub water: f64,
}

/// Factors on what is known to about a quarter only; 1 is the prior. Learning fits them to logs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tuning {
    /// On the conductivity of the lining.
    pub conductivity: f64,
    /// On the power of the elements.
    pub power: f64,
    /// On the air drawn through.
    pub draught: f64,
    /// On the heat capacity of shelves, posts and ware.
    pub load: f64,
    /// Cells in a wall are this many times as many as usual.
    pub fineness: usize,
}

impl Default for Tuning {
    fn default() -> Self {
        Self {
            conductivity: 1.0,
            power: 1.0,
            draught: 1.0,
            load: 1.0,
            fineness: 1,
        }
    }
}

/// How far off a thermocouple reads: it shows T + offset + drift · T, T in °C.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct SensorError {
    /// The same at all temperatures.
    pub offset: TempDiff,
    /// In proportion to the temperature, as wear makes it: 0.005 is 5 K too much at 1000 °C.
    pub drift: f64,
}

/// A kiln and its load.
#[derive(Debug, Clone, PartialEq)]
pub struct KilnInput {
    /// Area of the chamber seen from above. Views are those of a round chamber of this area.
    pub plan: Area,
    /// Length of the wall around the chamber.
    pub perimeter: Length,
    /// Inside height.
    pub height: Length,
    /// Side wall, hot face first.
    pub wall: Vec<Layer>,
    /// Floor, hot face first.
    pub floor: Vec<Layer>,
    /// Lid or roof, hot face first.
    pub lid: Vec<Layer>,
    /// Element bands with their power when new.
    pub bands: Vec<Band>,
    /// Element resistance over that when new.
    pub ageing: f64,
    /// Mains voltage over that of the nameplate. Power goes with its square.
    pub mains: f64,
    /// Height of the sensor above the floor.
    pub sensor_height: Length,
    /// How far it sticks in.
    pub sensor_reach: Length,
    /// How far off its thermocouple reads.
    pub sensor_error: SensorError,
    /// A vent fan runs.
    pub vent_fan: bool,
    /// Plugs are out and the lid is ajar from the start until the sensor passes this; nothing: all is shut.
    pub plugs_in_at: Option<Temperature>,
    /// Each zone is controlled on its own.
    pub zoned: bool,
    /// Shelves in any order.
    pub shelves: Vec<ShelfInput>,
    /// Posts.
    pub posts: Vec<PostInput>,
    /// Ware.
    pub ware: Vec<WareInput>,
    /// Temperature of the room, and of everything at the start.
    pub room: Temperature,
    /// Factors.
    pub tuning: Tuning,
    /// When it may be opened; cooling is foreseen down to the last of these.
    pub opening: OpeningLimits,
    /// Units of what a forecast says in words.
    pub shown: Shown,
}
