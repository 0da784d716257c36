//! Views inside one cell: the space between two shelves, with bodies standing about in it.

use std::f64::consts::PI;

use crate::network::view::disc_and_ring;

/// The sizes of a cell.
#[derive(Debug, Clone)]
pub struct Cell {
    /// Radius of the chamber, m.
    pub radius_m: f64,
    /// Height, m.
    pub height_m: f64,
    /// Radius of the shelf or floor below.
    pub lower_m: f64,
    /// Radius of the shelf or lid above.
    pub upper_m: f64,
    /// Share of the wall that elements make up.
    pub element_share: f64,
    /// Outside areas of the bodies in it, m².
    pub bodies_m2: Vec<f64>,
}

/// Surfaces of a cell in the order of [`Cell::views`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Face below.
    Lower,
    /// Opening around it.
    LowerRing,
    /// Face above.
    Upper,
    /// Opening around it.
    UpperRing,
    /// Brick.
    Wall,
    /// Elements.
    Element,
    /// A body by number.
    Body(usize),
}

/// Areas and views of the surfaces that the cell has.
#[derive(Debug, Clone)]
pub struct Views {
    /// The surfaces.
    pub parts: Vec<Part>,
    /// Their areas, m².
    pub areas_m2: Vec<f64>,
    /// Share of what leaves the first that falls on the second.
    pub shares: Vec<Vec<f64>>,
}

impl Cell {
    /// Views between the surfaces of the empty cell are those of a cylinder with discs and rings as
    /// its ends. Bodies that stand anywhere stop the share 1 − exp(−S/A) of every view, S their
    /// outside area and A that of the cell: the law of mean chords for convex bodies
    /// (mean shadow S/4, mean chord 4V/A). What they stop falls on them by their areas.
    pub fn views(&self) -> Views {
        let area = |r: f64| PI * r * r;
        let whole = area(self.radius_m);
        let (lower, upper) = (area(self.lower_m), area(self.upper_m));
        let wall = 2.0 * PI * self.radius_m * self.height_m;
        let ends = [
            (Part::Lower, lower),
            (Part::LowerRing, whole - lower),
            (Part::Upper, upper),
            (Part::UpperRing, whole - upper),
        ];
        let v = disc_and_ring(self.lower_m, self.upper_m, self.radius_m, self.height_m);
        // Area times view, the same both ways.
        let end_to_end = |a: usize, b: usize| match (a.min(b), a.max(b)) {
            (0, 2) => lower * v.disc_disc,
            (0, 3) => lower * v.disc_ring,
            (1, 2) => (whole - lower) * v.ring_disc,
            (1, 3) => (whole - lower) * v.ring_ring,
            _ => 0.0,
        };
        let to_wall = |a: usize| {
            let (_, own) = ends[a];
            (own - (0..4).map(|b| end_to_end(a, b)).sum::<f64>()).max(0.0)
        };
        let own_wall = wall - (0..4).map(to_wall).sum::<f64>();
        let (brick, element) = (1.0 - self.element_share, self.element_share);
        let exchange = |a: usize, b: usize| {
            let share = |k: usize| if k == 4 { brick } else { element };
            match (a, b) {
                (0..4, 0..4) => end_to_end(a, b),
                (0..4, _) => to_wall(a) * share(b),
                (_, 0..4) => to_wall(b) * share(a),
                _ => own_wall * share(a) * share(b),
            }
        };
        let shell = 2.0 * whole + wall;
        let stopped_by: f64 = self.bodies_m2.iter().sum();
        let free = (-stopped_by / shell).exp();
        let between_bodies = stopped_by - shell * (1.0 - free);

        let fixed = ends
            .into_iter()
            .chain([(Part::Wall, wall * brick), (Part::Element, wall * element)]);
        let all: Vec<(usize, Part, f64)> = fixed
            .enumerate()
            .map(|(i, (p, a))| (i, p, a))
            .chain(
                self.bodies_m2
                    .iter()
                    .enumerate()
                    .map(|(i, a)| (6 + i, Part::Body(i), *a)),
            )
            .filter(|(_, _, a)| *a > whole * 1e-9)
            .collect();
        let shares = all
            .iter()
            .map(|(i, _, own)| {
                let row = |(j, _, other): &(usize, Part, f64)| match (*i, *j) {
                    (0..6, 0..6) => free * exchange(*i, *j) / own,
                    (0..6, _) => (1.0 - free) * other / stopped_by,
                    (_, 0..6) => (1.0 - free) * other / stopped_by,
                    _ => between_bodies / stopped_by * other / stopped_by,
                };
                all.iter().map(row).collect()
            })
            .collect();
        Views {
            parts: all.iter().map(|(_, p, _)| *p).collect(),
            areas_m2: all.iter().map(|(_, _, a)| *a).collect(),
            shares,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn views_add_up_and_reciprocate(
            radius in 0.15f64..0.5,
            height in 0.02f64..0.8,
            lower in 0.3f64..1.0,
            upper in 0.3f64..1.0,
            element in 0.0f64..0.6,
            bodies in proptest::collection::vec(1e-4f64..2.0, 0..5),
        ) {
            let v = Cell {
                radius_m: radius,
                height_m: height,
                lower_m: radius * lower,
                upper_m: radius * upper,
                element_share: element,
                bodies_m2: bodies,
            }
            .views();
            for (i, row) in v.shares.iter().enumerate() {
                prop_assert!((row.iter().sum::<f64>() - 1.0).abs() < 1e-9, "{:?}", v.parts[i]);
                for (j, f) in row.iter().enumerate() {
                    prop_assert!((-1e-12..=1.0).contains(f));
                    let (there, back) = (v.areas_m2[i] * f, v.areas_m2[j] * v.shares[j][i]);
                    prop_assert!((there - back).abs() < 1e-9);
                }
            }
        }
    }
}
