//! What a strange kiln is made of, and what is different on the day of a firing.

use super::chance::Chance;
use crate::kiln::KilnInput;

/// Drawn once for a kiln.
#[derive(Debug, Clone)]
pub struct Nature {
    /// On the conductivity of the lining, and how much faster it grows with temperature, per 1000 K.
    pub conducts: f64,
    pub steeper: f64,
    /// Share of the wall that is mortar.
    pub mortar: f64,
    /// Between lining and jacket, W/m².K.
    pub gap: f64,
    /// On the heat capacity of the lining.
    pub lining_heat: f64,
    pub wall_glow: f64,
    pub ware_glow: f64,
    /// Outside convection, W/m².K at 100 K.
    pub outside: f64,
    /// On all power, and of each band beside that.
    pub power: f64,
    pub bands: Vec<f64>,
    /// Resistance of hot wire over cold at 1000 °C.
    pub wire: f64,
    /// Wire surface by its power, m²/W, and the share that sees the chamber.
    pub wire_area: f64,
    pub wire_out: f64,
    /// On the heat capacity of the load.
    pub load: f64,
    /// Openings of lid seam and joints, m², and on the fan.
    pub seam: f64,
    pub fan: f64,
    /// Shadow of the ware, slice by slice (cycled through), of inner ware, and of openings beside shelves.
    pub shade: Vec<f64>,
    pub deep: f64,
    pub openings: f64,
    /// Room, °C, and its swing over the day, K.
    pub room: f64,
    pub swing: f64,
    /// Mains over the nameplate's, how far it wanders, how far it sags in the evening.
    pub mains: f64,
    pub wanders: f64,
    pub evening: f64,
    pub sensor: Sheath,
    pub control: Gains,
    /// On what the meter shows.
    pub meter: f64,
    /// Of each element in a firing at cone 6, and of the sensor, as shares.
    pub ages: f64,
    pub drifts: f64,
}

/// A sensor in its sheath.
#[derive(Debug, Clone, Copy)]
pub struct Sheath {
    /// Share by which it reads too much, K, and the same at all temperatures, K.
    pub off: f64,
    pub offset: f64,
    /// Heat that runs out along the sheath, as a share of how much hotter it is than the room.
    pub conducts: f64,
    /// What it shows too much while the band beside it draws full power, K.
    pub beside: f64,
    /// How long it trails at 1400 K, s.
    pub trails_s: f64,
    /// Share of its view that is wall, and elements.
    pub wall: f64,
    pub element: f64,
    /// Noise, K.
    pub noise: f64,
}

/// A controller.
#[derive(Debug, Clone, Copy)]
pub struct Gains {
    /// Error that asks for full power, K.
    pub band: f64,
    pub integral_s: f64,
    pub derivative_s: f64,
    /// The integral is let wind up so far, in shares of full power.
    pub windup: f64,
    /// The set point waits for a kiln that lags by so much, K.
    pub waits: f64,
    pub arrived: f64,
    /// Cycle of the relays, s, and shortest time on, s.
    pub cycle_s: f64,
    pub least_s: f64,
    /// It gives up after so long at full power without a gain of 5 K, s.
    pub patience_s: f64,
}

impl Nature {
    pub fn draw(c: &mut Chance, base: &KilnInput) -> Self {
        let tilt = c.normal(0.035);
        let middle = (base.bands.len() as f64 - 1.0) / 2.0;
        let bands = (0..base.bands.len())
            .map(|i| {
                let up = (i as f64 - middle) / middle.max(0.5);
                (1.0 + tilt * up) * c.factor(0.025)
            })
            .collect();
        Self {
            conducts: 0.92 * c.factor(0.2),
            steeper: c.between(-0.15, 0.25),
            mortar: c.between(0.005, 0.03),
            gap: c.between(25.0, 120.0),
            lining_heat: c.between(0.92, 1.12),
            wall_glow: c.between(0.6, 0.85),
            ware_glow: c.between(0.75, 0.92),
            outside: c.between(3.5, 7.0),
            power: c.factor(0.055),
            bands,
            wire: if c.coin(0.7) {
                c.between(1.035, 1.055)
            } else {
                c.between(0.968, 0.99)
            },
            wire_area: c.between(0.8, 1.25) / 1.8e4,
            wire_out: c.between(0.35, 0.65),
            load: c.factor(0.09),
            seam: 0.35e-4 * c.factor(0.7),
            fan: c.factor(0.45),
            shade: (0..16).map(|_| c.between(0.6, 1.0)).collect(),
            deep: c.between(0.35, 0.7),
            openings: c.between(0.5, 1.2),
            room: c.between(13.0, 27.0),
            swing: c.between(1.0, 5.0),
            mains: 1.0 + c.normal(0.012),
            wanders: c.between(0.002, 0.008),
            evening: c.between(0.0, 0.02),
            sensor: Sheath {
                off: c.normal(0.005),
                offset: c.normal(1.5),
                conducts: c.between(0.0, 0.005),
                beside: c.between(0.0, 5.0),
                trails_s: c.between(40.0, 150.0),
                wall: c.between(0.1, 0.35),
                element: c.between(0.0, 0.03),
                noise: c.between(0.2, 0.7),
            },
            control: Gains {
                band: c.between(12.0, 45.0),
                integral_s: c.between(300.0, 1800.0),
                derivative_s: c.between(0.0, 40.0),
                windup: c.between(1.0, 1.4),
                waits: c.between(8.0, 22.0),
                arrived: c.between(0.5, 3.0),
                cycle_s: [12.0, 20.0, 30.0][c.between(0.0, 2.999) as usize],
                least_s: 2.0,
                patience_s: 5400.0,
            },
            meter: c.factor(0.005),
            ages: c.between(0.003, 0.010),
            drifts: c.between(-0.0004, 0.0006),
        }
    }
}

/// Of one firing.
#[derive(Debug, Clone)]
pub struct Today {
    /// Power of each band over the nameplate's.
    pub bands: Vec<f64>,
    pub drifted: f64,
    /// On the load as somebody weighed or guessed it, and on the seam as the lid fell shut.
    pub load: f64,
    pub seam: f64,
    /// The room is so much warmer than usual, K.
    pub warmer: f64,
    /// When somebody comes to put the plugs in, K after they should.
    pub plugs_late: f64,
}

impl Today {
    pub fn draw(c: &mut Chance, nature: &Nature, bands: Vec<f64>, drifted: f64) -> Self {
        Self {
            bands,
            drifted,
            load: nature.load * c.factor(0.03),
            seam: nature.seam * c.factor(0.2),
            warmer: c.normal(2.0),
            plugs_late: c.between(-10.0, 40.0),
        }
    }
}
