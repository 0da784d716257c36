//! One step of time: what flows, flows from one lump into another.

use super::grid::Grid;
use super::truth::Ledger;
use crate::network::link::SIGMA;

/// Shortest step, s; see [`longest`].
pub const SHORTEST_S: f64 = 0.5;
/// Longest step, s.
const LONGEST_S: f64 = 2.0;
/// Heat of evaporation, J/kg (steam tables).
const LATENT: f64 = 2.257e6;
/// Air: J/kg.K, and kg/m³ in the room.
const AIR_C: f64 = 1100.0;
const AIR_DENSITY: f64 = 1.2;
/// An opening with its edges lets through so much less.
const EDGES: f64 = 0.6;
/// Share of what air could take up in a slice that it does.
const TAKES_UP: f64 = 0.5;

/// What happens from outside during a step.
#[derive(Debug, Clone, Default)]
pub struct Outside {
    /// Power of each band over what [`super::grid::Slice::bands`] says.
    pub bands: Vec<f64>,
    pub room_k: f64,
    /// Openings at top and bottom, m², and air moved by a fan, kg/s.
    pub leak_m2: f64,
    pub fan_kg_per_s: f64,
    /// Of the lid that stands open, m².
    pub lid_m2: f64,
    /// Resistance of hot wire over cold at 1000 °C.
    pub wire: f64,
    pub height_m: f64,
}

/// A kiln on its way.
#[derive(Debug, Clone)]
pub struct Stepper {
    pub grid: Grid,
    pub temps: Vec<f64>,
    black: Vec<f64>,
    heat: Vec<f64>,
    pub ledger: Ledger,
    stored_j: f64,
}

impl Stepper {
    pub fn new(grid: Grid) -> Self {
        let n = grid.lumps.len();
        let mut all = Self {
            temps: vec![0.0; n],
            black: vec![0.0; n],
            heat: vec![0.0; n],
            ledger: Ledger::default(),
            stored_j: grid.lumps.iter().map(|l| l.heat_j).sum(),
            grid,
        };
        all.read();
        // As warm all over as it is: no heat moves, but the radiosities are known.
        all.grid.spaces.radiate(&all.black, 0.0, 0.0, &mut all.heat);
        all
    }

    fn read(&mut self) {
        for ((t, b), lump) in self
            .temps
            .iter_mut()
            .zip(&mut self.black)
            .zip(&self.grid.lumps)
        {
            *t = lump.temp_k();
            let t2 = *t * *t;
            *b = SIGMA * t2 * t2;
        }
    }

    /// A step that nothing overshoots in: shorter for thin things, longer while all is cool.
    pub fn longest(&self) -> f64 {
        let hottest = self.temps.iter().copied().fold(300.0, f64::max);
        let film = 4.0 * SIGMA * hottest.powi(3);
        let mut least = f64::INFINITY;
        for (node, m2) in self.grid.spaces.faces() {
            let c = self.grid.lumps.get(node).map_or(1.0, |l| l.least());
            least = least.min(c / (m2 * film));
        }
        let cool = if hottest < 900.0 { 3.0 } else { 1.0 };
        (0.4 * least).clamp(SHORTEST_S, LONGEST_S * cool)
    }

    /// Heat of a slice's mean, K.
    pub fn space_k(&self, slice: usize) -> f64 {
        let glow = self.grid.spaces.glow.get(slice).copied().unwrap_or(0.0);
        (glow / SIGMA).max(1.0).sqrt().sqrt()
    }

    pub fn step(&mut self, dt: f64, o: &Outside) {
        self.heat.fill(0.0);
        let (t, q) = (&self.temps, &mut self.heat);
        for s in &self.grid.solids {
            let (a, b) = s.pair;
            let [(m, k), (n, l)] = s.halves;
            let through = s.area_m2 / (m / k.at(t[a]) + n / l.at(t[b]));
            let flow = through * (t[a] - t[b]);
            q[a] -= flow;
            q[b] += flow;
        }
        for ((a, b), w_per_k) in &self.grid.fixed {
            let flow = w_per_k * (t[*a] - t[*b]);
            q[*a] -= flow;
            q[*b] += flow;
        }
        for ((a, b), m2) in &self.grid.glows {
            let flow = m2 * (self.black[*a] - self.black[*b]);
            q[*a] -= flow;
            q[*b] += flow;
        }
        let room2 = o.room_k * o.room_k;
        let room_black = SIGMA * room2 * room2;
        let mut lost = 0.0;
        for (node, m2, h) in &self.grid.skins {
            let over = t[*node] - o.room_k;
            let air = h * (over.abs() / 100.0).sqrt().sqrt() * over;
            let flow = m2 * (air + 0.7 * (self.black[*node] - room_black));
            q[*node] -= flow;
            lost += flow;
        }
        let spaces = &mut self.grid.spaces;
        lost += spaces.radiate(&self.black, o.lid_m2, room_black, q);
        let leaked = self.draught(o);
        let drawn = self.elements(o);
        self.ledger.add(dt, drawn, lost, leaked);
        for (lump, q) in self.grid.lumps.iter_mut().zip(&self.heat) {
            lump.heat_j += q * dt;
        }
        self.react(dt);
        self.read();
    }

    /// Air drawn in below and out above, as a chimney of the kiln's height draws it. Warmed slice by slice, half by
    /// the wall and half by the ware.
    fn draught(&mut self, o: &Outside) -> f64 {
        let slices = self.grid.slices.len();
        let middle = self.space_k(slices / 2).max(o.room_k);
        let pull = (2.0 * 9.81 * o.height_m * (1.0 - o.room_k / middle))
            .max(0.0)
            .sqrt();
        let per_k = AIR_C * (AIR_DENSITY * EDGES * o.leak_m2 * pull + o.fan_kg_per_s);
        let (mut air, mut taken) = (o.room_k, 0.0);
        for s in &self.grid.slices {
            let from = [Some(s.wall), s.outer];
            let count = from.iter().flatten().count() as f64;
            let before = air;
            for node in from.into_iter().flatten() {
                let flow = per_k * TAKES_UP * (self.temps[node] - before) / count;
                self.heat[node] -= flow;
                taken += flow;
            }
            if per_k > 0.0 {
                air = o.room_k + taken / per_k;
            }
        }
        taken
    }

    fn elements(&mut self, o: &Outside) -> f64 {
        let mut drawn = 0.0;
        for s in &self.grid.slices {
            let Some(node) = s.element else { continue };
            // Straight up to 1000 °C, the same above.
            let hot = ((self.temps[node] - 293.0) / 980.0).clamp(0.0, 1.0);
            let resistance = (1.0 + (o.wire - 1.0) * hot) / o.wire;
            let on = |b: &(usize, f64)| b.1 * o.bands.get(b.0).copied().unwrap_or(0.0);
            let watts = s.bands.iter().map(on).sum::<f64>() / resistance;
            self.heat[node] += watts;
            drawn += watts;
        }
        drawn
    }

    /// Water boils off, as fast as heat comes to it; a little dries below that. Bound water leaves about 540 °C.
    fn react(&mut self, dt: f64) {
        for wet in &mut self.grid.wet {
            let Some(lump) = self.grid.lumps.get_mut(wet.node) else {
                continue;
            };
            let t = lump.temp_k();
            if wet.water_kg > 0.0 && t > 313.0 {
                let dries = wet.water_kg * ((t - 313.0) / 60.0).powi(2) / 9000.0 * dt;
                let boils = ((t - 373.15) * lump.least() / LATENT * 0.1).max(0.0);
                let gone = (dries + boils).min(wet.water_kg);
                wet.water_kg -= gone;
                lump.heat_j -= gone * LATENT;
                self.ledger.reacted_j += gone * LATENT;
            }
            if wet.bound_j > 0.0 && wet.bound > 1e-6 && t > 600.0 {
                // A line in the exponent: tenfold every 55 K, 1/h at 800 K.
                let rate = 10f64.powf((t - 800.0) / 55.0) / 3600.0 * 1.6;
                let gone = wet.bound * (rate * dt).min(0.2);
                wet.bound -= gone;
                lump.heat_j -= gone * wet.bound_j;
                self.ledger.reacted_j += gone * wet.bound_j;
            }
        }
    }

    /// Heat in all lumps since the start, J.
    pub fn stored_j(&self) -> f64 {
        self.grid.lumps.iter().map(|l| l.heat_j).sum::<f64>() - self.stored_j
    }
}
