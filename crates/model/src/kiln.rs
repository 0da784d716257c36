//! Kilns: the chamber and what is in its walls.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::cone::Cone;
use crate::quantity::{Angle, Length, Power, Span, Temperature};
use crate::shape::Chamber;
use crate::taught::Taught;

/// How the kiln is loaded.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Opening {
    /// From above; the hinge is toward +y.
    Lid,
    /// From the front; the door is toward +y.
    Door,
}

/// A kind of lining.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Lining {
    /// Insulating firebrick of group 23.
    Brick23,
    /// Insulating firebrick of group 26.
    Brick26,
    /// Ceramic fibre blanket of 128 kg/m³.
    Fibre,
    /// Insulating castable.
    Castable,
}

/// One layer of a wall, from the hot face outward.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Layer {
    /// What it is made of.
    pub lining: Lining,
    /// How thick.
    pub thickness: Length,
}

/// A ring of elements between two heights.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Band {
    /// Lower edge above the floor.
    pub from: Length,
    /// Upper edge above the floor.
    pub to: Length,
    /// Power at the kiln's mains voltage when new.
    pub power: Power,
}

/// The sensor that the controller reads: a sheath that sticks in from the wall.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Sensor {
    /// Bearing from the middle, counter-clockwise from +x.
    pub angle: Angle,
    /// Height above the floor.
    pub height: Length,
    /// How far it sticks in past the wall.
    pub reach: Length,
}

/// A peephole.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Peephole {
    /// Bearing from the middle, counter-clockwise from +x.
    pub angle: Angle,
    /// Height above the floor.
    pub height: Length,
}

/// What the controller can be told.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Controller {
    /// Most segments of one programme.
    pub max_segments: u8,
    /// True when each band is switched on its own.
    pub zoned: bool,
    /// Smallest step of a hold.
    pub hold_step: Span,
}

/// One kiln.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Kiln {
    /// Name as the studio calls it.
    pub name: String,
    /// Plan of the chamber.
    pub chamber: Chamber,
    /// Usable height from floor to lid or roof.
    pub height: Length,
    /// Lid or door.
    pub opening: Opening,
    /// Element bands, from the floor up.
    pub bands: Vec<Band>,
    /// Controller's sensor.
    pub sensor: Sensor,
    /// Peepholes.
    pub peepholes: Vec<Peephole>,
    /// Side wall, hot face first.
    pub wall: Vec<Layer>,
    /// Floor, hot face first.
    pub floor: Vec<Layer>,
    /// Lid or roof, hot face first.
    pub lid: Vec<Layer>,
    /// Hottest cone on the nameplate.
    pub max_cone: Cone,
    /// Hottest temperature on the nameplate.
    pub max_temperature: Temperature,
    /// Element resistance over its first reading when new: 1.0 new, 1.1 due for replacement.
    pub element_ageing: f64,
    /// True when a vent fan runs during firing.
    pub vent_fan: bool,
    /// What the controller can be told.
    pub controller: Controller,
    /// What its own firings taught of it, when plans are to use that. The studio's folder does not hold it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub taught: Option<Box<Taught>>,
}
