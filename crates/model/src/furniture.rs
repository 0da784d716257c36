//! Kiln furniture that the studio owns.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::cone::Cone;
use crate::quantity::{Area, Length, Mass};

/// The outline of a shelf, or of the whole that a pair of halves makes up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "form", rename_all = "kebab-case")]
pub enum ShelfShape {
    /// Round.
    Circle {
        /// Diameter.
        diameter: Length,
    },
    /// A regular polygon with flats facing ±y.
    RegularPolygon {
        /// Number of flats, at least 5.
        sides: u8,
        /// Between opposite flats.
        across_flats: Length,
    },
    /// Two half circles joined by straight edges along x.
    Oval {
        /// Along x.
        length: Length,
        /// Along y.
        width: Length,
    },
    /// A rectangle.
    Rectangle {
        /// Along x.
        width: Length,
        /// Along y.
        depth: Length,
    },
}

impl ShelfShape {
    /// Its area.
    pub fn area(self) -> Area {
        use std::f64::consts::PI;
        match self {
            Self::Circle { diameter } => diameter * diameter * (PI / 4.0),
            Self::RegularPolygon {
                sides,
                across_flats,
            } => {
                across_flats
                    * across_flats
                    * (f64::from(sides) / 4.0 * (PI / f64::from(sides)).tan())
            }
            Self::Oval { length, width } => width * (length - width) + width * width * (PI / 4.0),
            Self::Rectangle { width, depth } => width * depth,
        }
    }
}

/// Whether a shelf is the whole of its shape or one half of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum ShelfSpan {
    /// The whole shape.
    Full,
    /// Half of it, cut along the y axis: the left half keeps x ≤ −2 mm, the right half x ≥ 2 mm.
    Half,
}

/// Half of the saw cut between two half shelves.
pub const HALF_CUT: Length = Length::mm(2.0);

/// Shelves of one kind. For halves, `shape` describes the whole that two of them make up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ShelfStock {
    /// Name, unique among shelves.
    pub name: String,
    /// Outline of the whole.
    pub shape: ShelfShape,
    /// Full or half.
    pub span: ShelfSpan,
    /// Thickness.
    pub thickness: Length,
    /// How many there are.
    pub count: u16,
    /// Mass of one.
    pub mass: Mass,
    /// Most mass that one may carry when hot.
    pub load_limit: Mass,
}

/// Posts of one length.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PostStock {
    /// Length when standing.
    pub length: Length,
    /// How many there are.
    pub count: u16,
}

/// What raises a piece off its shelf.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SupportKind {
    /// All-clay or metal-pointed stilt under a glazed foot.
    Stilt,
    /// Three or more short even pins or props under a bare foot, so that air passes beneath.
    PinSupport,
    /// A bare slab wider than the foot that catches runs.
    WasterSlab,
}

/// Supports of one kind and size.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SupportStock {
    /// Name, unique among supports.
    pub name: String,
    /// What it does.
    pub kind: SupportKind,
    /// Diameter of the circle it covers. A stilt or pin support needs a foot at least this wide;
    /// a waster slab is wider than the foot.
    pub diameter: Length,
    /// How much it raises the ware.
    pub height: Length,
    /// Most mass on one.
    pub load_limit: Mass,
    /// Hottest cone that its maker allows.
    pub max_cone: Cone,
    /// How many there are.
    pub count: u16,
}

/// All the furniture of a studio.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Furniture {
    /// Shelves by kind.
    pub shelves: Vec<ShelfStock>,
    /// Posts by length.
    pub posts: Vec<PostStock>,
    /// Side of a post's square section (or its diameter).
    pub post_section: Length,
    /// Stilts, pin supports and waster slabs.
    pub supports: Vec<SupportStock>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_are_those_of_plane_geometry() {
        let m = Length::m;
        let round = ShelfShape::Circle { diameter: m(1.0) };
        let many = ShelfShape::RegularPolygon {
            sides: 200,
            across_flats: m(1.0),
        };
        let square = ShelfShape::Oval {
            length: m(1.0),
            width: m(1.0),
        };
        let hexagon = ShelfShape::RegularPolygon {
            sides: 6,
            across_flats: m(1.0),
        };
        assert!((round.area().to_m2() - std::f64::consts::FRAC_PI_4).abs() < 1e-12);
        assert!((many.area().to_m2() - round.area().to_m2()).abs() < 1e-4);
        assert!((square.area().to_m2() - round.area().to_m2()).abs() < 1e-12);
        // A hexagon of width w has an area of w² √3 / 2.
        assert!((hexagon.area().to_m2() - 3.0_f64.sqrt() / 2.0).abs() < 1e-12);
    }
}
