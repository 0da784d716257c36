use std::f64::consts::{FRAC_PI_2, PI};

use super::discs::coaxial_discs;

/// Views inside a closed cylinder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InsideCylinder {
    /// One end to the other.
    pub end_end: f64,
    /// An end to the wall.
    pub end_wall: f64,
    /// The wall to one end.
    pub wall_end: f64,
    /// The wall to itself.
    pub wall_wall: f64,
}

impl InsideCylinder {
    /// Of this radius and height (C-78 and the rule that views add up to 1).
    pub fn new(radius: f64, height: f64) -> Self {
        let end_end = coaxial_discs(radius, radius, height);
        let end_wall = 1.0 - end_end;
        let wall_end = end_wall * radius / (2.0 * height);
        Self {
            end_end,
            end_wall,
            wall_end,
            wall_wall: 1.0 - 2.0 * wall_end,
        }
    }
}

/// Between coaxial cylinders of one length, seen from the outer one: to the inner one and to
/// itself (C-91).
pub fn coaxial_cylinders(inner: f64, outer: f64, length: f64) -> (f64, f64) {
    let (r, h) = (outer / inner, length / inner);
    let (r2, h2) = (r * r, h * h);
    let (a, b) = (h2 + r2 - 1.0, h2 - r2 + 1.0);
    let round = ((a + 2.0).powi(2) - 4.0 * r2).sqrt();
    let inner_view = (1.0
        - ((b / a).acos()
            - (round * (b / (r * a)).acos() + b * (1.0 / r).asin() - FRAC_PI_2 * a) / (2.0 * h))
            / PI)
        / r;
    let long = (4.0 * r2 + h2).sqrt() / h;
    let sine = (4.0 * (r2 - 1.0) + h2 / r2 * (r2 - 2.0)) / (h2 + 4.0 * (r2 - 1.0));
    let own_view = 1.0 - 1.0 / r + 2.0 / (PI * r) * (2.0 * (r2 - 1.0).sqrt() / h).atan()
        - h / (2.0 * PI * r)
            * (long * sine.asin() - ((r2 - 2.0) / r2).asin() + FRAC_PI_2 * (long - 1.0));
    (inner_view, own_view)
}

/// From a plane to one row of tubes of diameter over spacing `d` (Hottel).
pub fn plane_to_tubes(d: f64) -> f64 {
    1.0 - (1.0 - d * d).sqrt() + d * ((1.0 / (d * d) - 1.0).sqrt()).atan()
}
