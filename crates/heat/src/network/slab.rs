//! Walls as slabs in one dimension, cut into cells that thicken inward.

use super::link::Law;
use super::property::Property;
use super::{Capacity, Network, NodeId};

/// One layer of a slab.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Thickness, m.
    pub thickness_m: f64,
    /// Conductivity, W/m.K.
    pub conductivity: Property,
    /// Density, kg/m³.
    pub density: f64,
    /// Specific heat, J/kg.K.
    pub specific_heat: Property,
    /// How many cells.
    pub cells: usize,
}

/// A slab of one or more sheets, first face first.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Slab {
    /// The sheets.
    pub sheets: Vec<Sheet>,
    /// Each cell is this many times as thick as the one before it (1: all alike).
    pub growth: f64,
}

/// The nodes of a slab in a network. Faces have next to no capacity of their own.
#[derive(Debug, Clone)]
pub struct Placed {
    /// Surface where the slab begins.
    pub first_face: NodeId,
    /// Middles of the cells.
    pub cells: Vec<NodeId>,
    /// Depths of those middles, m.
    pub depths_m: Vec<f64>,
    /// Surface where it ends.
    pub last_face: NodeId,
}

/// A face keeps this share of its cell's heat, so that no unknown is without inertia.
const FACE_SHARE: f64 = 0.02;

impl Slab {
    /// A slab of one sheet.
    pub fn of(sheet: Sheet) -> Self {
        Self {
            sheets: vec![sheet],
            growth: 1.0,
        }
    }

    /// Thicknesses of all cells with their sheets.
    fn cut(&self) -> Vec<(f64, &Sheet)> {
        let mut all = Vec::new();
        for s in &self.sheets {
            let n = s.cells.max(1);
            let weight = |i: usize| self.growth.powi(i32::try_from(i).unwrap_or(0));
            let sum: f64 = (0..n).map(weight).sum();
            all.extend((0..n).map(|i| (s.thickness_m * weight(i) / sum, s)));
        }
        all
    }

    /// Puts the slab into a network. `area_m2` gives the area at a depth, `integral` exactly between
    /// two depths is not needed: a cell's conduction uses the area in its middle.
    pub fn place(&self, net: &mut Network, start_k: f64, area_m2: &dyn Fn(f64) -> f64) -> Placed {
        let cells = self.cut();
        let mut depth = 0.0;
        let mut nodes = Vec::with_capacity(cells.len());
        let mut depths = Vec::with_capacity(cells.len());
        let mut halves: Vec<(f64, Property)> = Vec::with_capacity(cells.len() * 2);
        let last = cells.len().saturating_sub(1);
        let mut ends = Vec::new();
        for (i, (thickness, sheet)) in cells.iter().enumerate() {
            let middle = depth + thickness / 2.0;
            let mass = sheet.density * thickness * area_m2(middle);
            let mut own = 1.0;
            for at_end in [i == 0, i == last] {
                if at_end {
                    own -= FACE_SHARE;
                    ends.push((mass * FACE_SHARE, sheet.specific_heat.clone()));
                }
            }
            nodes.push(net.body(
                start_k,
                Capacity {
                    mass_kg: mass * own,
                    specific_heat: sheet.specific_heat.clone(),
                },
            ));
            depths.push(middle);
            for quarter in [depth + thickness / 4.0, depth + 0.75 * thickness] {
                halves.push((
                    area_m2(quarter) / (thickness / 2.0),
                    sheet.conductivity.clone(),
                ));
            }
            depth += thickness;
        }
        let mut face = ends.into_iter().map(|(mass_kg, specific_heat)| Capacity {
            mass_kg,
            specific_heat,
        });
        let mut faces = [(); 2].map(|()| {
            net.body(
                start_k,
                face.next().unwrap_or_else(|| Capacity::constant(1.0)),
            )
        });
        let [first_face, last_face] = &mut faces;
        let mut before = *first_face;
        let mut pending: Option<(f64, Property)> = None;
        for (i, half) in halves.into_iter().enumerate() {
            let outward = i % 2 == 1;
            if outward {
                pending = Some(half);
                continue;
            }
            let to = nodes.get(i / 2).copied().unwrap_or(*last_face);
            join(net, before, to, pending.take(), half);
            before = to;
        }
        if let Some((area_over_length_m, conductivity)) = pending {
            net.link(
                before,
                *last_face,
                Law::Solid {
                    area_over_length_m,
                    conductivity,
                },
            );
        }
        Placed {
            first_face: *first_face,
            cells: nodes,
            depths_m: depths,
            last_face: *last_face,
        }
    }
}

/// Two half cells in series. Within one material the pair is one link at the mean temperature;
/// between two materials the resistances add with each conductivity at that mean.
fn join(
    net: &mut Network,
    from: NodeId,
    to: NodeId,
    first: Option<(f64, Property)>,
    second: (f64, Property),
) {
    let series = |a: f64, b: f64| a * b / (a + b);
    let (area_over_length_m, conductivity) = match first {
        None => second,
        Some((s1, k1)) if k1 == second.1 => (series(s1, second.0), k1),
        Some((s1, k1)) => {
            let points = (0..=64)
                .map(|i| 250.0 + 25.0 * f64::from(i))
                .map(|t| (t, series(s1 * k1.at(t), second.0 * second.1.at(t))))
                .collect();
            (1.0, Property::Table(points))
        }
    };
    net.link(
        from,
        to,
        Law::Solid {
            area_over_length_m,
            conductivity,
        },
    );
}
