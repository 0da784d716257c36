//! The kiln and its load, cut into slices and rings.

use std::f64::consts::PI;

use super::column::{Column, Conductivity, Lump};
use super::nature::{Nature, Today};
use super::radiate::Spaces;
use crate::kiln::KilnInput;

/// Slices are about this high, m.
const SLICE_M: f64 = 0.07;
/// Wire: J/kg.K at 0 °C and its growth, and kg/m².
const WIRE: (f64, f64) = (460.0, 0.24);
const WIRE_BY_AREA: f64 = 7100.0 * 0.0025 / 4.0;

/// Heat flow through something solid between two lumps.
#[derive(Debug, Clone, Copy)]
pub struct Solid {
    pub pair: (usize, usize),
    pub area_m2: f64,
    /// Half the depth of each, m, and what it conducts.
    pub halves: [(f64, Conductivity); 2],
}

/// Water in ware, and bound water.
#[derive(Debug, Clone, Copy)]
pub struct Wet {
    pub node: usize,
    pub water_kg: f64,
    /// Share of the bound water that is left, and what all of it takes, J.
    pub bound: f64,
    pub bound_j: f64,
}

/// One slice.
#[derive(Debug, Clone, Default)]
pub struct Slice {
    /// Node of its elements, and what each band puts in at the nameplate's voltage, W.
    pub element: Option<usize>,
    pub bands: Vec<(usize, f64)>,
    pub wall: usize,
    pub behind: usize,
    /// Ware near the wall, and in the middle.
    pub outer: Option<usize>,
    pub inner: Option<usize>,
}

/// A tier as witness cones stand on it.
#[derive(Debug, Clone)]
pub struct Tier {
    pub name: String,
    pub slice: usize,
}

/// All of it.
#[derive(Debug, Clone, Default)]
pub struct Grid {
    pub lumps: Vec<Lump>,
    pub solids: Vec<Solid>,
    /// W/K.
    pub fixed: Vec<((usize, usize), f64)>,
    /// m².
    pub glows: Vec<((usize, usize), f64)>,
    /// Jackets: node, m², W/m².K at 100 K.
    pub skins: Vec<(usize, f64, f64)>,
    pub slices: Vec<Slice>,
    pub spaces: Spaces,
    pub wet: Vec<Wet>,
    pub tiers: Vec<Tier>,
    /// Slice of the sensor.
    pub sensor: usize,
    /// Of the middle of each band.
    pub band_slice: Vec<usize>,
    pub plan_m2: f64,
}

impl Grid {
    pub fn lump(&mut self, lump: Lump) -> usize {
        self.lumps.push(lump);
        self.lumps.len() - 1
    }

    pub fn solid(&mut self, a: usize, b: usize, area_m2: f64, cells: [(f64, Conductivity); 2]) {
        self.solids.push(Solid {
            pair: (a, b),
            area_m2,
            halves: cells.map(|(m, k)| (m / 2.0, k)),
        });
    }

    pub fn fixed(&mut self, a: usize, b: usize, w_per_k: f64) {
        self.fixed.push(((a, b), w_per_k));
    }

    pub fn skin(&mut self, node: usize, m2: f64, h: f64) {
        self.skins.push((node, m2, h));
    }

    /// The kiln `base` with what stands in `load`.
    pub fn new(
        base: &KilnInput,
        load: &KilnInput,
        nature: &Nature,
        today: &Today,
        start_k: f64,
    ) -> Self {
        let height = base.height.to_m();
        let count = (height / SLICE_M).round().clamp(4.0, 14.0) as usize;
        let mut build = Build {
            base,
            load,
            nature,
            today,
            start_k,
            count,
            slice_m: height / count as f64,
            plan_m2: base.plan.to_m2(),
            radius_m: (base.plan.to_m2() / PI).sqrt(),
            grid: Self {
                spaces: Spaces::new(count),
                slices: vec![Slice::default(); count],
                plan_m2: base.plan.to_m2(),
                ..Self::default()
            },
        };
        build.linings();
        build.elements();
        build.load();
        build.openings();
        build.steady();
        build.grid
    }
}

pub(super) struct Build<'a> {
    pub base: &'a KilnInput,
    pub load: &'a KilnInput,
    pub nature: &'a Nature,
    pub today: &'a Today,
    pub start_k: f64,
    pub count: usize,
    pub slice_m: f64,
    pub plan_m2: f64,
    radius_m: f64,
    pub grid: Grid,
}

impl Build<'_> {
    fn slice_at(&self, m: f64) -> usize {
        ((m / self.slice_m).max(0.0) as usize).min(self.count - 1)
    }

    fn linings(&mut self) {
        let (around, radius, slice_m) = (self.base.perimeter.to_m(), self.radius_m, self.slice_m);
        let side = move |x: f64| around * (1.0 + x / radius) * slice_m;
        let mut below: Option<Column> = None;
        for i in 0..self.count {
            let (nature, start) = (self.nature, self.start_k);
            let column = self.grid.column(&self.base.wall, nature, start, &side);
            if let (Some(face), slice) = (column.cells.first(), &mut self.grid.slices[i]) {
                slice.wall = *face;
                slice.behind = *column.cells.get(1).unwrap_or(face);
                let glow = around * slice_m * nature.wall_glow;
                self.grid.spaces.see(i, *face, glow);
            }
            // Up and down within the wall.
            if let Some(below) = &below {
                let pairs = below.cells.iter().zip(&column.cells).zip(&column.depths);
                for ((a, b), (deep, k)) in pairs {
                    let half = (slice_m, *k);
                    self.grid.solid(*a, *b, around * deep, [half, half]);
                }
            }
            below = Some(column);
        }
        let plan = self.plan_m2;
        let end = move |x: f64| plan * (1.0 + x / radius).powi(2);
        for (layers, slice) in [(&self.base.floor, 0), (&self.base.lid, self.count - 1)] {
            let column = self.grid.column(layers, self.nature, self.start_k, &end);
            if let Some(face) = column.cells.first() {
                let open = if slice == 0 {
                    self.open_at(0)
                } else {
                    self.plan_m2
                };
                self.grid
                    .spaces
                    .see(slice, *face, open * self.nature.wall_glow);
                if slice == 0 {
                    self.grid.spaces.floor = Some(*face);
                }
            }
        }
    }

    fn elements(&mut self) {
        for (i, band) in self.base.bands.iter().enumerate() {
            let (low, high) = (band.from.to_m(), band.to.to_m());
            for s in 0..self.count {
                let (from, to) = (s as f64 * self.slice_m, (s + 1) as f64 * self.slice_m);
                let share = (high.min(to) - low.max(from)).max(0.0) / (high - low).max(1e-6);
                let watts = band.power.to_w() * share;
                if watts > 1.0 {
                    let own = self.today.bands.get(i).copied().unwrap_or(1.0);
                    self.grid.slices[s].bands.push((i, watts * own));
                }
            }
            let middle = self.slice_at((low + high) / 2.0);
            self.grid.band_slice.push(middle);
        }
        for s in 0..self.count {
            let watts: f64 = self.grid.slices[s].bands.iter().map(|b| b.1).sum();
            if watts <= 1.0 {
                continue;
            }
            let area = watts * self.nature.wire_area;
            let wire = Lump::new(area * WIRE_BY_AREA, WIRE, self.start_k);
            let node = self.grid.lump(wire);
            self.grid.slices[s].element = Some(node);
            let out = self.nature.wire_out;
            self.grid.spaces.see(s, node, area * out * 0.7);
            let groove = (node, self.grid.slices[s].wall);
            self.grid.glows.push((groove, area * (1.0 - out) * 0.6));
            self.grid.fixed.push((groove, area * 8.0));
        }
        self.grid.sensor = self.slice_at(self.base.sensor_height.to_m());
    }

    /// The boundary between slices that a shelf lies at.
    pub fn boundary(&self, top_m: f64) -> usize {
        ((top_m / self.slice_m).round().max(0.0) as usize).min(self.count - 1)
    }

    /// Area beside the shelves at a boundary.
    fn open_at(&self, boundary: usize) -> f64 {
        let here = |s: &&crate::kiln::ShelfInput| self.boundary(s.top.to_m()) == boundary;
        let shelves = self.load.shelves.iter().filter(here);
        let shut: f64 = shelves.map(|s| s.area.to_m2()).sum();
        (self.plan_m2 - shut).max(0.03 * self.plan_m2)
    }

    fn openings(&mut self) {
        let fall = 1.0 + 0.75 * self.slice_m / self.radius_m;
        for b in 1..self.count {
            let open = self.open_at(b);
            let shelf = open < 0.95 * self.plan_m2;
            let shade = if shelf { self.nature.openings } else { 0.8 };
            self.grid.spaces.open(b - 1, open * shade / fall);
        }
    }

    /// Nothing may couple so strongly that a step of [`super::step::SHORTEST_S`] overshoots.
    fn steady(&mut self) {
        let lumps = &self.grid.lumps;
        let most = |node: usize| {
            // 4 σ T³ at 1600 K.
            lumps
                .get(node)
                .map_or(0.0, |l| l.least() / 930.0 / super::step::SHORTEST_S * 0.45)
        };
        self.grid.spaces.limit(&most);
        for ((a, b), m2) in &mut self.grid.glows {
            *m2 = m2.min(most(*a)).min(most(*b));
        }
    }
}
