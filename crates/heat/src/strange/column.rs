//! Bodies with their heat, and walls cut into cells.

use glost_model::kiln::{Layer, Lining};

use super::grid::Grid;
use super::nature::Nature;

/// A lump of something. Its heat is the unknown, so that what flows from one to another is never lost.
#[derive(Debug, Clone, Copy)]
pub struct Lump {
    mass_kg: f64,
    /// Specific heat at 0 °C, J/kg.K, and its growth, J/kg.K².
    c: (f64, f64),
    /// Heat since 0 °C, J.
    pub heat_j: f64,
}

const ZERO_K: f64 = 273.15;

impl Lump {
    pub fn new(mass_kg: f64, c: (f64, f64), temp_k: f64) -> Self {
        let t = temp_k - ZERO_K;
        Self {
            mass_kg,
            c,
            heat_j: mass_kg * (c.0 * t + c.1 * t * t / 2.0),
        }
    }

    pub fn temp_k(&self) -> f64 {
        let h = self.heat_j / self.mass_kg;
        let (c, slope) = self.c;
        // 2 h / (c + √(c² + 2 c' h)) is the root that also holds for a slope of nothing.
        2.0 * h / (c + (c * c + 2.0 * slope * h).max(0.0).sqrt()) + ZERO_K
    }

    /// J/K when cold, its least.
    pub fn least(&self) -> f64 {
        self.mass_kg * self.c.0
    }
}

/// W/m.K at a temperature: a + b t + d T³, t in °C.
#[derive(Debug, Clone, Copy)]
pub struct Conductivity {
    pub a: f64,
    pub b: f64,
    pub d: f64,
}

impl Conductivity {
    pub fn at(&self, temp_k: f64) -> f64 {
        let t = temp_k - ZERO_K;
        (self.a + self.b * t + self.d * temp_k * temp_k * temp_k).max(0.01)
    }
}

/// Lining: conductivity, density, specific heat. Lines and a cube through the same tables as the model's, drawn about.
fn made_of(kind: Lining, nature: &Nature) -> (Conductivity, f64, (f64, f64)) {
    let (a, b, d, density) = match kind {
        Lining::Brick23 => (0.10, 1.4e-4, 0.0, 520.0),
        Lining::Brick26 => (0.20, 1.35e-4, 0.0, 800.0),
        Lining::Fibre => (0.045, 0.0, 1.33e-10, 128.0),
        Lining::Castable => (0.35, 0.0, 0.0, 1100.0),
    };
    // Mortar beside the brick, 1.1 W/m.K.
    let brick = nature.conducts * (1.0 - nature.mortar);
    let steeper = nature.steeper / 1000.0;
    let k = Conductivity {
        a: a * brick * (1.0 - 0.5 * nature.steeper) + 1.1 * nature.mortar,
        b: (b + a * steeper) * brick,
        d: d * brick,
    };
    let heat = nature.lining_heat;
    (k, density, (920.0 * heat, 0.24 * heat))
}

/// Depth of a cell, m.
const CELL_M: f64 = 0.0095;
/// Steel of a jacket, kg/m².
const JACKET: f64 = 8.0;

/// A column of lining from the hot face to the jacket.
pub struct Column {
    pub cells: Vec<usize>,
    /// Depth of each, m, and what it conducts.
    pub depths: Vec<(f64, Conductivity)>,
}

impl Grid {
    /// `area_m2` at a depth below the hot face.
    pub fn column(
        &mut self,
        layers: &[Layer],
        nature: &Nature,
        start_k: f64,
        area_m2: &dyn Fn(f64) -> f64,
    ) -> Column {
        let (mut cells, mut depths) = (Vec::new(), Vec::new());
        let (mut at_m, mut before): (f64, Option<(usize, f64, Conductivity)>) = (0.0, None);
        for layer in layers {
            let thick = layer.thickness.to_m();
            let count = (thick / CELL_M).round().clamp(3.0, 16.0);
            let (k, density, c) = made_of(layer.lining, nature);
            let cell_m = thick / count;
            for _ in 0..count as usize {
                let volume = area_m2(at_m + cell_m / 2.0) * cell_m;
                let cell = self.lump(Lump::new(volume * density, c, start_k));
                if let Some((last, last_m, last_k)) = before {
                    self.solid(last, cell, area_m2(at_m), [(last_m, last_k), (cell_m, k)]);
                }
                before = Some((cell, cell_m, k));
                cells.push(cell);
                depths.push((cell_m, k));
                at_m += cell_m;
            }
        }
        if let Some((last, last_m, k)) = before {
            let skin_m2 = area_m2(at_m);
            let jacket = self.lump(Lump::new(JACKET * skin_m2, (480.0, 0.2), start_k));
            // Half a cell of cool lining, then what gap there is.
            let through = last_m / 2.0 / k.at(450.0) + 1.0 / nature.gap;
            self.fixed(last, jacket, skin_m2 / through);
            self.skin(jacket, skin_m2, nature.outside);
        }
        Column { cells, depths }
    }
}
