//! Outlines seen from above. Only the description stands here: the planner and the judge each
//! have their own geometry, so that a mistake in one is seen by the other.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::{Area, Length};

/// A point in plan.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Point {
    /// To the right, m.
    pub x: Length,
    /// Toward hinge or door, m.
    pub y: Length,
}

/// An outline in its own frame, centred on the origin.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "form", rename_all = "kebab-case")]
pub enum Outline {
    /// A circle.
    Circle {
        /// Diameter, m.
        diameter: Length,
    },
    /// An ellipse, its length along x.
    Ellipse {
        /// Along x, m.
        length: Length,
        /// Along y, m.
        width: Length,
    },
    /// A rectangle, its length along x.
    Rectangle {
        /// Along x, m.
        length: Length,
        /// Along y, m.
        width: Length,
    },
    /// A simple polygon, counter-clockwise, at least three points; the origin is its reference point.
    Polygon {
        /// Corners.
        points: Vec<Point>,
    },
}

impl Outline {
    /// Area enclosed.
    pub fn area(&self) -> Area {
        let pi4 = std::f64::consts::FRAC_PI_4;
        match self {
            Self::Circle { diameter } => Area::m2(pi4 * diameter.to_m() * diameter.to_m()),
            Self::Ellipse { length, width } => Area::m2(pi4 * length.to_m() * width.to_m()),
            Self::Rectangle { length, width } => *length * *width,
            Self::Polygon { points } => Area::m2(signed_area_m2(points).abs()),
        }
    }

    /// Size along x and y in its own frame.
    pub fn extent(&self) -> (Length, Length) {
        match self {
            Self::Circle { diameter } => (*diameter, *diameter),
            Self::Ellipse { length, width } | Self::Rectangle { length, width } => {
                (*length, *width)
            }
            Self::Polygon { points } => {
                let span = |get: fn(&Point) -> f64| {
                    let (lo, hi) = points
                        .iter()
                        .map(get)
                        .fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), v| {
                            (lo.min(v), hi.max(v))
                        });
                    Length::m((hi - lo).max(0.0))
                };
                (span(|p| p.x.to_m()), span(|p| p.y.to_m()))
            }
        }
    }

    /// The same form with every length times `k`.
    #[must_use]
    pub fn scaled(&self, k: f64) -> Self {
        match self {
            Self::Circle { diameter } => Self::Circle {
                diameter: *diameter * k,
            },
            Self::Ellipse { length, width } => Self::Ellipse {
                length: *length * k,
                width: *width * k,
            },
            Self::Rectangle { length, width } => Self::Rectangle {
                length: *length * k,
                width: *width * k,
            },
            Self::Polygon { points } => {
                let points = points.iter().map(|p| Point {
                    x: p.x * k,
                    y: p.y * k,
                });
                Self::Polygon {
                    points: points.collect(),
                }
            }
        }
    }
}

/// Shoelace area, positive when the corners run counter-clockwise, m².
pub fn signed_area_m2(points: &[Point]) -> f64 {
    let next = points.iter().cycle().skip(1);
    points
        .iter()
        .zip(next)
        .map(|(a, b)| a.x.to_m() * b.y.to_m() - b.x.to_m() * a.y.to_m())
        .sum::<f64>()
        / 2.0
}

/// The plan of a kiln chamber, centred on the origin.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "form", rename_all = "kebab-case")]
pub enum Chamber {
    /// Round.
    Circle {
        /// Inside diameter, m.
        diameter: Length,
    },
    /// A regular polygon with flats facing ±y (its first flat faces the hinge).
    RegularPolygon {
        /// Number of flats, at least 5.
        sides: u8,
        /// Distance between opposite flats (for odd counts twice the inscribed radius), m.
        across_flats: Length,
    },
    /// Two half circles joined by straight walls along x.
    Oval {
        /// Along x, m.
        length: Length,
        /// Along y: the diameter of the ends, m.
        width: Length,
    },
    /// A rectangle.
    Rectangle {
        /// Along x, m.
        width: Length,
        /// Along y, front to back, m.
        depth: Length,
    },
}
