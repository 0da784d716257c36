//! The parts of a kiln as pieces of its network.

use std::f64::consts::PI;

use glost_model::kiln::Layer;

use super::assemble::{Body, Builder, Shelf};
use super::build::{Sink, WareClass};
use super::input::WareInput;
use super::materials::{self, clay, cordierite, lining, wire};
use super::reactions::{BOUND_J_PER_KG, Kinetics, LATENT_J_PER_KG};
use super::zones::{Level, level_at};
use crate::network::link::Law;
use crate::network::slab::{Placed, Sheet, Slab};
use crate::network::{Capacity, NodeId};

/// Classes of ware by thickest section: up to these, m.
const CLASSES_M: [f64; 3] = [0.008, 0.015, f64::INFINITY];
/// A witness cone: outside area, m², and mass by it, kg/m² (solid, 8 mm across).
const WITNESS_M2: f64 = 6e-4;
const WITNESS_KG_PER_M2: f64 = 4.0;
/// A sensor in its sheath: circumference, m, and mass by outside area, kg/m² (8 mm of alumina
/// tube and its filling, proposed; it trails by a minute or less when hot).
const SHEATH_M: f64 = 0.025;
const SHEATH_KG_PER_M2: f64 = 5.0;
/// A shelf leaves at least this share of the plan open.
const LEAST_OPENING: f64 = 0.01;
/// Cells in a metre of lining, and the least in a layer.
const CELLS_PER_M: f64 = 90.0;
const LEAST_CELLS: usize = 3;

impl Builder<'_> {
    /// A piece of side wall. Its area grows outward with the radius, and at floor and lid by the
    /// corners too.
    pub fn side(&mut self, level: &Level, lowest: bool, highest: bool) -> Placed {
        let height = level.wall_to_m - level.wall_from_m;
        let corners = f64::from(u8::from(lowest)) + f64::from(u8::from(highest));
        let (around, radius) = (self.input.perimeter.to_m(), self.radius_m);
        let area = move |x: f64| around * (1.0 + x / radius) * (height + corners * x);
        // Turbulent air along an upright plane: 1.31 |ΔT|^(1/3) (usual form for air, from memory).
        self.lining(&self.input.wall, &area, 1.31, 1.0 / 3.0)
    }

    /// The floor: laminar air under a warm plane, 0.6 |ΔT|^(1/4), from memory.
    pub fn floor(&mut self) -> Placed {
        let area = self.end_area();
        self.lining(&self.input.floor, &area, 0.6, 0.25)
    }

    /// The lid: turbulent air over a warm plane, 1.52 |ΔT|^(1/3), from memory.
    pub fn lid(&mut self) -> Placed {
        let area = self.end_area();
        self.lining(&self.input.lid, &area, 1.52, 1.0 / 3.0)
    }

    fn end_area(&self) -> impl Fn(f64) -> f64 + use<> {
        let (plan, radius) = (self.input.plan.to_m2(), self.radius_m);
        move |x: f64| plan * (1.0 + x / radius).powi(2)
    }

    fn lining(
        &mut self,
        layers: &[Layer],
        area_m2: &dyn Fn(f64) -> f64,
        coefficient: f64,
        exponent: f64,
    ) -> Placed {
        let tuning = self.input.tuning;
        let sheets = layers.iter().map(|l| {
            let m = lining(l.lining);
            let thickness_m = l.thickness.to_m();
            let cells = ((thickness_m * CELLS_PER_M).round() as usize).max(LEAST_CELLS);
            Sheet {
                thickness_m,
                conductivity: m.conductivity.scaled(tuning.conductivity),
                density: m.density,
                specific_heat: m.specific_heat,
                cells: cells * tuning.fineness.max(1),
            }
        });
        let slab = Slab {
            sheets: sheets.collect(),
            growth: 1.25f64.powf(1.0 / tuning.fineness.max(1) as f64),
        };
        let placed = slab.place(&mut self.net, self.start_k, area_m2);
        let depth: f64 = layers.iter().map(|l| l.thickness.to_m()).sum();
        let skin = area_m2(depth);
        let outside = [
            Law::Natural {
                area_m2: skin,
                coefficient,
                exponent,
            },
            Law::Radiation {
                exchange_m2: skin * materials::JACKET_EMISSIVITY,
            },
        ];
        for law in outside {
            self.net.link(placed.last_face, self.room, law);
        }
        placed
    }

    /// The shelf of a level: two faces with half its heat each.
    pub fn shelf(&mut self, level: &Level) -> Option<Shelf> {
        let shelf = level.shelf.as_ref()?;
        let area_m2 = shelf
            .area
            .to_m2()
            .min(self.input.plan.to_m2() * (1.0 - LEAST_OPENING));
        let m = cordierite();
        let [under, upper] = [(); 2].map(|()| {
            let half = Capacity {
                mass_kg: shelf.mass.to_kg() / 2.0 * self.input.tuning.load,
                specific_heat: m.specific_heat.clone(),
            };
            self.net.body(self.start_k, half)
        });
        // From one face to the middle of the other half.
        let law = Law::Solid {
            area_over_length_m: area_m2 / (shelf.thickness.to_m().max(1e-3) / 2.0),
            conductivity: m.conductivity,
        };
        self.net.link(under, upper, law);
        Some(Shelf {
            under,
            upper,
            area_m2,
        })
    }

    /// The air of a zone, which the draught draws through.
    pub fn air(&mut self, level: &Level, zones: usize) -> NodeId {
        let volume = self.input.plan.to_m2() * (level.wall_to_m - level.wall_from_m);
        // Density at 600 K (Incropera table A.4). Its heat is next to nothing.
        let air = self.net.body(
            self.start_k,
            Capacity::constant(volume * 0.58 * materials::AIR_J_PER_KG_K),
        );
        let flow = if self.input.vent_fan {
            materials::VENT_KG_PER_S
        } else {
            materials::LEAK_KG_PER_S
        };
        let watts = flow * materials::AIR_J_PER_KG_K * self.input.tuning.draught / zones as f64;
        self.net.link(air, self.vent, Law::Conductance(watts));
        air
    }

    /// Air that changes places through the openings beside the shelves.
    pub fn mix_air(&mut self, air: &[NodeId], shelves: &[Option<Shelf>]) {
        for (pair, shelf) in air.windows(2).zip(shelves.iter().skip(1)) {
            if let ([below, above], Some(shelf)) = (pair, shelf) {
                let open = self.input.plan.to_m2() - shelf.area_m2;
                let law = Law::Conductance(materials::AIR_EXCHANGE * open);
                self.net.link(*below, *above, law);
            }
        }
    }

    pub fn sensor(&mut self) -> Body {
        let area_m2 = SHEATH_M * self.input.sensor_reach.to_m().max(0.01);
        self.small(area_m2, SHEATH_KG_PER_M2)
    }

    pub fn witness(&mut self) -> Body {
        self.small(WITNESS_M2, WITNESS_KG_PER_M2)
    }

    fn small(&mut self, area_m2: f64, kg_per_m2: f64) -> Body {
        let m = clay(false);
        let capacity = Capacity {
            mass_kg: area_m2 * kg_per_m2,
            specific_heat: m.specific_heat,
        };
        Body {
            node: self.net.body(self.start_k, capacity),
            area_m2,
            emissivity: m.emissivity,
        }
    }

    /// The posts of a zone as one body.
    pub fn posts(&mut self, level: &Level) -> Option<Body> {
        let m = cordierite();
        let (mut mass, mut area_m2) = (0.0, 0.0);
        for p in &self.input.posts {
            let (base, top) = (p.base.to_m(), p.top.to_m());
            let inside = top.min(level.wall_to_m) - base.max(level.wall_from_m);
            let section = p.section.to_m();
            if inside > 0.0 {
                mass += m.density * section * section * inside;
                area_m2 += 4.0 * section * inside;
            }
        }
        if area_m2 <= 0.0 {
            return None;
        }
        let capacity = Capacity {
            mass_kg: mass * self.input.tuning.load,
            specific_heat: m.specific_heat,
        };
        Some(Body {
            node: self.net.body(self.start_k, capacity),
            area_m2,
            emissivity: m.emissivity,
        })
    }

    /// The ware of a level by classes, with its water; adds its bodies to those of the cell.
    pub fn ware(
        &mut self,
        levels: &[Level],
        number: usize,
        shelf: Option<Shelf>,
        bodies: &mut Vec<Body>,
    ) -> Vec<WareClass> {
        let mut from = 0.0;
        let mut classes = Vec::new();
        for to in CLASSES_M {
            let these: Vec<WareInput> = self
                .input
                .ware
                .iter()
                .filter(|w| level_at(levels, w.foot.to_m()) == number)
                .filter(|w| (from..to).contains(&w.wall.to_m()))
                .copied()
                .collect();
            from = to;
            if !these.is_empty() {
                classes.push(self.ware_class(&these, shelf, bodies));
            }
        }
        classes
    }

    fn ware_class(
        &mut self,
        ware: &[WareInput],
        shelf: Option<Shelf>,
        bodies: &mut Vec<Body>,
    ) -> WareClass {
        let sum = |of: &dyn Fn(&WareInput) -> f64| ware.iter().map(of).sum::<f64>();
        let mass = sum(&|w| w.mass.to_kg());
        let half_m = sum(&|w| w.mass.to_kg() * w.wall.to_m()) / mass / 2.0;
        let outside = sum(&|w| w.outside.to_m2());
        let feet = sum(&|w| w.foot_area.to_m2());
        let raw = sum(&|w| if w.raw { w.mass.to_kg() } else { 0.0 });
        let water = sum(&|w| w.mass.to_kg() * w.water);
        let m = clay(raw * 2.0 > mass);
        let tuned = mass * self.input.tuning.load;
        // Under a steady rate the slab's parabola has its mean a third of the way from centre to
        // surface: a skin of one third and this conductance give mean and difference exactly.
        let [skin, core] = [1.0 / 3.0, 2.0 / 3.0].map(|share| {
            let capacity = Capacity {
                mass_kg: tuned * share,
                specific_heat: m.specific_heat.clone(),
            };
            self.net.body(self.start_k, capacity)
        });
        let faces = mass / (m.density * half_m);
        let law = Law::Solid {
            area_over_length_m: 4.0 / 3.0 * faces / half_m,
            conductivity: m.conductivity,
        };
        self.net.link(skin, core, law);
        bodies.push(Body {
            node: skin,
            area_m2: outside,
            emissivity: m.emissivity,
        });
        if let Some(shelf) = shelf {
            let contact = Law::Conductance(feet * materials::FOOT_CONTACT);
            self.net.link(skin, shelf.upper, contact);
            let pair = 1.0 / (1.0 / m.emissivity + 1.0 / cordierite().emissivity - 1.0);
            let glow = Law::Radiation {
                exchange_m2: feet * pair,
            };
            self.net.link(skin, shelf.upper, glow);
        }
        let sinks = [
            (water * LATENT_J_PER_KG, Kinetics::Drying(half_m)),
            (raw * BOUND_J_PER_KG, Kinetics::Dehydroxylation),
        ];
        self.sinks.extend(
            sinks
                .into_iter()
                .filter(|(h, _)| *h > 0.0)
                .map(|(heat_j, kinetics)| Sink {
                    skin,
                    core,
                    heat_j,
                    kinetics,
                }),
        );
        WareClass {
            skin,
            core,
            mass_kg: mass,
            half_m,
        }
    }

    /// Power of the elements between two heights, aged.
    pub fn power_between(&self, from_m: f64, to_m: f64) -> f64 {
        let of = |b: &glost_model::kiln::Band| {
            let (low, high) = (b.from.to_m(), b.to.to_m());
            let inside = (high.min(to_m) - low.max(from_m)).max(0.0);
            b.power.to_w() * inside / (high - low).max(1e-6)
        };
        let volts = self.input.mains * self.input.mains;
        self.input.bands.iter().map(of).sum::<f64>() * self.input.tuning.power * volts
            / self.input.ageing
    }

    /// The elements of a zone and the area that they show to the chamber.
    pub fn element(&mut self, power_w: f64, groove: NodeId) -> Option<(NodeId, f64)> {
        if power_w <= 1.0 {
            return None;
        }
        let m = wire();
        let volts = self.input.mains * self.input.mains;
        let new_w = power_w * self.input.ageing / self.input.tuning.power / volts;
        let surface = new_w / materials::SURFACE_LOAD;
        let capacity = Capacity {
            mass_kg: m.density * surface * materials::WIRE_M / 4.0,
            specific_heat: m.specific_heat,
        };
        let node = self.net.body(self.start_k, capacity);
        let hidden = surface * (1.0 - materials::OUT_OF_GROOVE);
        let pair = 1.0 / (1.0 / m.emissivity + 1.0 / 0.78 - 1.0);
        let law = Law::Radiation {
            exchange_m2: hidden * pair,
        };
        self.net.link(node, groove, law);
        // Convection in the groove.
        let law = Law::Conductance(surface * materials::INSIDE_CONVECTION * 2.0);
        self.net.link(node, groove, law);
        Some((node, (surface * materials::OUT_OF_GROOVE).max(PI * 1e-4)))
    }
}
