//! Putting the network of a kiln together.

use std::f64::consts::PI;

use super::build::{KilnModel, NotAKiln, Sink, Zone};
use super::cell::{Cell, Part};
use super::input::KilnInput;
use super::materials;
use super::zones::{Level, level_at};
use crate::network::link::Law;
use crate::network::radiosity::{Exchange, Surface};
use crate::network::slab::Placed;
use crate::network::{Network, NodeId, Pane, Seen};
use glost_model::kiln::Band;

/// A network half built.
pub(super) struct Builder<'k> {
    pub input: &'k KilnInput,
    pub net: Network,
    pub start_k: f64,
    pub radius_m: f64,
    pub room: NodeId,
    pub vent: NodeId,
    pub sinks: Vec<Sink>,
}

/// A shelf in the network.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shelf {
    pub under: NodeId,
    pub upper: NodeId,
    pub area_m2: f64,
}

/// A body in a cell: node, outside area and emissivity.
#[derive(Debug, Clone, Copy)]
pub(super) struct Body {
    pub node: NodeId,
    pub area_m2: f64,
    pub emissivity: f64,
}

/// What stands where in a cell.
struct Nodes<'a> {
    lower: (NodeId, f64),
    upper: (NodeId, f64),
    wall: NodeId,
    element: Option<NodeId>,
    bodies: &'a [Body],
    air: NodeId,
    rings: Rings,
}

/// Panes of the openings that a cell has below and above. A ring without one reradiates.
#[derive(Debug, Clone, Copy, Default)]
struct Rings {
    below: Option<Pane>,
    above: Option<Pane>,
}

impl<'k> Builder<'k> {
    pub fn new(input: &'k KilnInput) -> Self {
        let mut net = Network::new();
        let start_k = input.room.to_k();
        let room = net.held(start_k);
        let vent = net.held(start_k);
        Self {
            input,
            net,
            start_k,
            radius_m: (input.plan.to_m2() / PI).sqrt(),
            room,
            vent,
            sinks: Vec::new(),
        }
    }

    pub fn build(mut self, levels: &[Level]) -> Result<KilnModel, NotAKiln> {
        let reactions = self.net.held(self.start_k);
        let count = levels.len();
        let walls: Vec<Placed> = (0..count)
            .zip(levels)
            .map(|(i, l)| self.side(l, i == 0, i + 1 == count))
            .collect();
        let floor = self.floor();
        let lid = self.lid();
        let shelves: Vec<Option<Shelf>> = levels.iter().map(|l| self.shelf(l)).collect();
        let air: Vec<NodeId> = levels.iter().map(|l| self.air(l, count)).collect();
        self.mix_air(&air, &shelves);
        let sensor = self.sensor();
        let sensor_zone = level_at(levels, self.input.sensor_height.to_m());
        let (floor_e, lid_e) = (emissivity(&self.input.floor), emissivity(&self.input.lid));
        let shelf_e = materials::cordierite().emissivity;

        let mut zones = Vec::with_capacity(count);
        let plan_m2 = self.input.plan.to_m2();
        let windows: Vec<Option<[Pane; 2]>> = shelves
            .iter()
            .map(|s| s.map(|s| self.net.window(plan_m2 - s.area_m2)))
            .collect();
        let spaces = levels.iter().zip(&walls).zip(&shelves).zip(&air);
        for (i, (((level, wall), shelf), air)) in spaces.enumerate() {
            let witness = self.witness();
            let mut bodies = vec![witness];
            if i == sensor_zone {
                bodies.push(sensor);
            }
            bodies.extend(self.posts(level));
            let ware = self.ware(levels, i, *shelf, &mut bodies);
            let power_w = self.power_between(level.wall_from_m, level.wall_to_m);
            let element = self.element(power_w, wall.first_face);
            let above = shelves.get(i + 1).copied().flatten();
            let radius = |s: Option<Shelf>| s.map_or(self.radius_m, |s| (s.area_m2 / PI).sqrt());
            let height_m = level.to_m - level.from_m;
            let cell = Cell {
                radius_m: self.radius_m,
                height_m,
                lower_m: radius(*shelf),
                upper_m: radius(above),
                element_share: element.map_or(0.0, |(_, area)| {
                    (area / (2.0 * PI * self.radius_m * height_m)).min(0.6)
                }),
                bodies_m2: bodies.iter().map(|b| b.area_m2).collect(),
            };
            let window = |i: usize| windows.get(i).copied().flatten();
            self.cell(
                &cell,
                &Nodes {
                    lower: shelf.map_or((floor.first_face, floor_e), |s| (s.upper, shelf_e)),
                    upper: above.map_or((lid.first_face, lid_e), |s| (s.under, shelf_e)),
                    wall: wall.first_face,
                    element: element.map(|(n, _)| n),
                    bodies: &bodies,
                    air: *air,
                    rings: Rings {
                        below: window(i).map(|[_, above]| above),
                        above: window(i + 1).map(|[below, _]| below),
                    },
                },
            )?;
            zones.push(Zone {
                tiers: level.tiers.clone(),
                to_m: level.wall_to_m,
                between_m: (level.from_m, level.to_m),
                wall: wall.first_face,
                shelf: shelf.map(|s| s.upper),
                ware,
                element: element.map(|(n, _)| n),
                power_w,
                witness: witness.node,
                air: *air,
            });
        }
        // The gap between the kiln's floor and the lowest shelf shares the wall of the first zone.
        if let (Some(level), Some(Some(shelf)), Some(wall), Some(air)) =
            (levels.first(), shelves.first(), walls.first(), air.first())
        {
            let thickness = level.shelf.as_ref().map_or(0.0, |s| s.thickness.to_m());
            let cell = Cell {
                radius_m: self.radius_m,
                height_m: (level.from_m - thickness).max(0.005),
                lower_m: self.radius_m,
                upper_m: (shelf.area_m2 / PI).sqrt(),
                element_share: 0.0,
                bodies_m2: Vec::new(),
            };
            self.cell(
                &cell,
                &Nodes {
                    lower: (floor.first_face, floor_e),
                    upper: (shelf.under, shelf_e),
                    wall: wall.first_face,
                    element: None,
                    bodies: &[],
                    air: *air,
                    rings: Rings {
                        below: None,
                        above: windows.first().copied().flatten().map(|[below, _]| below),
                    },
                },
            )?;
        }
        let middle = self.input.height.to_m() / 2.0;
        let group_of = groups(self.input, levels);
        let group_sensors = (0..=group_of.iter().copied().max().unwrap_or(0))
            .map(|g| {
                let members: Vec<usize> = (0..zones.len()).filter(|z| group_of[*z] == g).collect();
                match members.get(members.len() / 2).and_then(|z| zones.get(*z)) {
                    Some(z) if self.input.zoned && group_of[sensor_zone] != g => z.witness,
                    _ => sensor.node,
                }
            })
            .collect();
        Ok(KilnModel {
            input: self.input.clone(),
            reference: zones.iter().position(|z| middle < z.to_m).unwrap_or(0),
            zones,
            net: self.net,
            shape: std::sync::OnceLock::new(),
            sinks: self.sinks,
            room: self.room,
            vent: self.vent,
            reactions,
            plugs_w_per_k: materials::PLUGS_KG_PER_S
                * materials::AIR_J_PER_KG_K
                * self.input.tuning.draught
                / count as f64,
            wire_hot: materials::wire_resistance().at(materials::NAMEPLATE_K),
            wire: materials::wire_resistance(),
            sensor: sensor.node,
            floor: floor.first_face,
            lid: lid.first_face,
            group_of,
            group_sensors,
        })
    }

    /// Adds the surfaces of a cell with their views, and the air's convection to them.
    fn cell(&mut self, cell: &Cell, nodes: &Nodes<'_>) -> Result<(), NotAKiln> {
        let views = cell.views();
        let wall_e = emissivity(&self.input.wall);
        let (mut seen, mut kinds) = (Vec::new(), Vec::new());
        for (part, area) in views.parts.iter().zip(&views.areas_m2) {
            let (node, emissivity) = match part {
                Part::Lower => nodes.lower,
                Part::Upper => nodes.upper,
                Part::Wall => (nodes.wall, wall_e),
                Part::Element => (
                    nodes.element.unwrap_or(nodes.wall),
                    materials::wire().emissivity,
                ),
                Part::Body(k) => nodes
                    .bodies
                    .get(*k)
                    .map_or((nodes.wall, wall_e), |b| (b.node, b.emissivity)),
                Part::LowerRing | Part::UpperRing => {
                    let pane = match part {
                        Part::LowerRing => nodes.rings.below,
                        _ => nodes.rings.above,
                    };
                    seen.push(pane.map_or(Seen::Node(nodes.wall), Seen::Pane));
                    kinds.push(Surface::Gray(pane.map_or(0.0, |_| 1.0)));
                    continue;
                }
            };
            seen.push(Seen::Node(node));
            kinds.push(Surface::Gray(emissivity));
            let h = materials::INSIDE_CONVECTION * area;
            self.net.link(node, nodes.air, Law::Conductance(h));
        }
        let view = |i: usize, j: usize| {
            let row: Option<&Vec<f64>> = views.shares.get(i);
            row.and_then(|r| r.get(j)).copied().unwrap_or(0.0)
        };
        let exchange = Exchange::new(&views.areas_m2, &kinds, &view)?;
        self.net.radiate(&seen, &exchange);
        Ok(())
    }
}

fn emissivity(layers: &[glost_model::kiln::Layer]) -> f64 {
    layers
        .first()
        .map_or(0.8, |l| materials::lining(l.lining).emissivity)
}

/// The group of elements that each zone is switched with: all of them, or, in a zoned kiln, the band
/// that lies beside most of it.
fn groups(input: &KilnInput, levels: &[Level]) -> Vec<usize> {
    if !input.zoned {
        return vec![0; levels.len()];
    }
    let band = |l: &Level| {
        let shared = |b: &Band| b.to.to_m().min(l.wall_to_m) - b.from.to_m().max(l.wall_from_m);
        let bands = input.bands.iter().enumerate();
        bands
            .max_by(|a, b| shared(a.1).total_cmp(&shared(b.1)))
            .map_or(0, |(i, _)| i)
    };
    let bands: Vec<usize> = levels.iter().map(band).collect();
    // Bands that no zone goes with have no group.
    let mut used = bands.clone();
    used.sort_unstable();
    used.dedup();
    bands
        .iter()
        .map(|b| used.binary_search(b).unwrap_or(0))
        .collect()
}
