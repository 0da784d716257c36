//! What takes up heat without warming: free water that dries off and bound water that is driven out.

use glost_model::{Length, Span, Temperature};

/// Heat to evaporate water, J/kg (steam tables, at 100 °C).
pub const LATENT_J_PER_KG: f64 = 2.257e6;
/// Heat to drive out bound water, J for each kg of raw body: half of it kaolinite at 550 kJ/kg
/// (500 to 650 by calorimetry, from memory).
pub const BOUND_J_PER_KG: f64 = 0.5 * 550e3;

/// How fast something goes, as a share of what is left, 1/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kinetics {
    /// Free water out of a slab of this half thickness, m.
    Drying(f64),
    /// Bound water.
    Dehydroxylation,
}

/// Diffusion of water in clay at 70 °C, m²/s, and its activation temperature, K: 1e-10 cool, 1e-9
/// at 60 to 80 °C, 4e-9 hot, from memory.
const DIFFUSION_AT_70: f64 = 1e-9;
const DIFFUSION_K: f64 = 5000.0;
/// Hotter than this nothing is left to dry, and the law need not go on.
const DRY_K: f64 = 450.0;

/// First order with an activation energy of 200 kJ/mol, proposed; at 100 °C/h it then runs from
/// about 420 to 620 °C with its middle near 540 °C, inside the 370 to 700 °C of the literature.
const BOUND_K: f64 = 200e3 / 8.314_462_618;
const BOUND_MIDDLE_K: f64 = 813.0;
/// A from Kissinger's condition at 100 °C/h, 1/s: φ E/(R T²) = A exp(−E/RT).
const BOUND_RATE_AT_MIDDLE: f64 = 100.0 / 3600.0 * BOUND_K / (BOUND_MIDDLE_K * BOUND_MIDDLE_K);

/// The numbers above by name.
pub fn constants() -> [(&'static str, f64); 6] {
    [
        ("diffusion_at_70", DIFFUSION_AT_70),
        ("diffusion_k", DIFFUSION_K),
        ("dry_k", DRY_K),
        ("bound_k", BOUND_K),
        ("bound_middle_k", BOUND_MIDDLE_K),
        ("bound_rate", BOUND_RATE_AT_MIDDLE),
    ]
}

/// Diffusion coefficient of water in clay, m²/s.
pub fn diffusion(temp_k: f64) -> f64 {
    DIFFUSION_AT_70 * (DIFFUSION_K * (1.0 / 343.15 - 1.0 / temp_k)).exp()
}

impl Kinetics {
    /// Rate and its derivative by temperature.
    pub fn rate(self, temp_k: f64) -> (f64, f64) {
        match self {
            // The slowest mode of a slab that dries on both faces.
            Self::Drying(half_m) => {
                let t = temp_k.min(DRY_K);
                let r = std::f64::consts::PI.powi(2) / 4.0 * diffusion(t) / (half_m * half_m);
                let slope = if temp_k < DRY_K {
                    r * DIFFUSION_K / (t * t)
                } else {
                    0.0
                };
                (r, slope)
            }
            Self::Dehydroxylation => {
                let r =
                    BOUND_RATE_AT_MIDDLE * (BOUND_K * (1.0 / BOUND_MIDDLE_K - 1.0 / temp_k)).exp();
                (r, r * BOUND_K / (temp_k * temp_k))
            }
        }
    }
}

/// Time at a temperature until this share of a wall's free water is left: Fick's slab, open on both
/// faces, first mode (95 % gone at D t/L² = 1.129, derived here).
pub fn drying_time(half: Length, at: Temperature, share_left: f64) -> Span {
    let pi2 = std::f64::consts::PI.powi(2);
    let fo = 4.0 / pi2 * (8.0 / pi2 / share_left).ln().max(0.0);
    Span::s(fo * half.to_m() * half.to_m() / diffusion(at.to_k()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Fick slab: 95 % gone at Fo 1.129, 99 % at 1.781 [derived here].
    #[test]
    fn drying_follows_the_slab() {
        for (left, fo) in [(0.05, 1.129), (0.01, 1.781)] {
            let t = drying_time(Length::mm(10.0), Temperature::k(343.15), left).to_s();
            assert!((t * 1e-9 / 1e-4 - fo).abs() < 2e-3);
        }
    }

    #[test]
    fn bound_water_leaves_between_370_and_700() {
        let (mut left, mut t) = (1.0f64, 300.0);
        let step_k = 1.0;
        let (mut begin, mut end) = (0.0, 0.0);
        while t < 1200.0 {
            let before = left;
            left *= (-Kinetics::Dehydroxylation.rate(t).0 * step_k * 36.0).exp();
            if before > 0.95 && left <= 0.95 {
                begin = t - 273.15;
            }
            if before > 0.05 && left <= 0.05 {
                end = t - 273.15;
            }
            t += step_k;
        }
        assert!(
            (370.0..500.0).contains(&begin) && (540.0..700.0).contains(&end),
            "{begin} {end}"
        );
    }
}
