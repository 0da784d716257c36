//! Properties of what a kiln and its load are made of. 'From memory' marks figures without a
//! retrieved source: priors of about a quarter, to be fitted to the kiln's own logs.

use glost_model::kiln::Lining;

use crate::network::property::Property;

/// A lining or furniture material.
#[derive(Debug, Clone)]
pub struct Solid {
    /// W/m.K.
    pub conductivity: Property,
    /// kg/m³.
    pub density: f64,
    /// J/kg.K.
    pub specific_heat: Property,
    /// Of a hot face.
    pub emissivity: f64,
}

/// A lining.
pub fn lining(kind: Lining) -> Solid {
    match kind {
        // k between cast and pressed brick of group 23, from memory; sold brick of this class
        // spreads by a factor of 1.7. c 1.05 kJ/kg.K from memory. Emissivity of hot faces
        // 0.75 to 0.80 at 1000 °C by chart.
        Lining::Brick23 => Solid {
            conductivity: Property::line_c(0.10, 1.4e-4),
            density: 520.0,
            specific_heat: Property::Constant(1050.0),
            emissivity: 0.78,
        },
        // k from memory.
        Lining::Brick26 => Solid {
            conductivity: Property::table_c(&[
                (200.0, 0.22),
                (400.0, 0.25),
                (600.0, 0.27),
                (800.0, 0.30),
                (1000.0, 0.33),
                (1200.0, 0.36),
            ]),
            density: 800.0,
            specific_heat: Property::Constant(1050.0),
            emissivity: 0.75,
        },
        // Blanket of 128 kg/m³, from memory.
        Lining::Fibre => Solid {
            conductivity: Property::table_c(&[
                (200.0, 0.06),
                (400.0, 0.10),
                (600.0, 0.16),
                (800.0, 0.23),
                (1000.0, 0.34),
                (1200.0, 0.48),
            ]),
            density: 128.0,
            specific_heat: Property::Constant(1060.0),
            emissivity: 0.9,
        },
        // From memory.
        Lining::Castable => Solid {
            conductivity: Property::Constant(0.35),
            density: 1100.0,
            specific_heat: Property::Constant(1000.0),
            emissivity: 0.75,
        },
    }
}

/// Cordierite shelves and posts: density by a maker's data (1800 to 2400, 2000 taken), c, k and
/// emissivity from memory.
pub fn cordierite() -> Solid {
    Solid {
        conductivity: Property::Constant(1.6),
        density: 2000.0,
        specific_heat: Property::table_c(&[
            (25.0, 750.0),
            (400.0, 1000.0),
            (800.0, 1100.0),
            (1200.0, 1180.0),
        ]),
        emissivity: 0.8,
    }
}

/// Ware. c by Michot et al., J. Eur. Ceram. Soc. 31 (2011) 1377, for kaolin without its bound
/// water. k of raw kaolin under 0.3 (Michot et al., 28 (2008) 2639), of porous and mature ware
/// 0.5 to 1.5 from memory; densities from memory.
pub fn clay(raw: bool) -> Solid {
    Solid {
        conductivity: Property::Constant(if raw { 0.5 } else { 0.9 }),
        density: 1850.0,
        specific_heat: Property::Formula {
            a: 1128.0,
            b: 0.102,
            c: -36e6,
        },
        emissivity: 0.85,
    }
}

/// Heating wire of iron, chromium and aluminium: density by data tables of three makers, c from memory.
pub fn wire() -> Solid {
    Solid {
        conductivity: Property::Constant(12.8),
        density: 7100.0,
        specific_heat: Property::table_c(&[(20.0, 460.0), (1000.0, 700.0)]),
        emissivity: 0.7,
    }
}

/// Resistance of that wire over the one at 20 °C (data tables of three makers, grade 0Cr25Al5).
pub fn wire_resistance() -> Property {
    Property::table_c(&[
        (20.0, 1.0),
        (100.0, 1.002),
        (200.0, 1.005),
        (400.0, 1.013),
        (600.0, 1.030),
        (800.0, 1.040),
        (1000.0, 1.044),
        (1100.0, 1.046),
        (1200.0, 1.047),
    ])
}
/// The nameplate's power is that of a wire this hot, K (makers reckon with the hot resistance, from memory).
pub const NAMEPLATE_K: f64 = 1273.15;

/// Power that a wire's surface gives off at the nameplate, W/m²: handbooks give 1.2 to 2.2 W/cm² for
/// coils in grooves at 1200 °C, from memory.
pub const SURFACE_LOAD: f64 = 1.8e4;
/// Diameter of the wire, m, from memory (2 to 3.3 mm).
pub const WIRE_M: f64 = 0.0025;
/// Share of the wire's surface that sees the chamber from its groove; the rest heats the groove.
pub const OUT_OF_GROOVE: f64 = 0.5;

/// Of the jacket, oxidised somewhat, from memory.
pub const JACKET_EMISSIVITY: f64 = 0.7;

/// Free convection inside, W/m².K: small beside radiation above 300 °C. From memory.
pub const INSIDE_CONVECTION: f64 = 4.0;
/// Air that changes places through an opening, as W/K for each m² of it. Proposed.
pub const AIR_EXCHANGE: f64 = 30.0;
/// Air through a kiln with its fan on, kg/s. Proposed: about 2 % of the energy of a firing.
pub const VENT_KG_PER_S: f64 = 2.5e-4;
/// Air through a kiln without a fan, kg/s. Proposed.
pub const LEAK_KG_PER_S: f64 = 0.8e-4;
/// Air through a kiln with plugs out and lid ajar, kg/s: two holes of 40 mm at about 0.5 m/s. Proposed.
pub const PLUGS_KG_PER_S: f64 = 1e-3;
/// People put plugs in within this of the temperature, K.
pub const PLUGS_WITHIN_K: f64 = 10.0;
/// Specific heat of hot air, J/kg.K (Incropera table A.4, mean to 1200 °C).
pub const AIR_J_PER_KG_K: f64 = 1120.0;
/// Between a foot and its shelf, W/m².K: half a millimetre of air. Derived here.
pub const FOOT_CONTACT: f64 = 60.0;
