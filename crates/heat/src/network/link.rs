//! Ways for heat to pass between two nodes.

use super::property::Property;

/// Stefan-Boltzmann constant, W/m².K⁴ (CODATA 2018).
pub const SIGMA: f64 = 5.670_374_419e-8;

/// Differences below this are rounded off in natural convection, whose derivative has no end there.
const STILL_K: f64 = 0.5;

/// How heat passes along a link.
#[derive(Debug, Clone, PartialEq)]
pub enum Law {
    /// In proportion to the difference, W/K.
    Conductance(f64),
    /// Through a solid whose conductivity is taken at the mean of the two temperatures.
    Solid {
        /// Area over length, m.
        area_over_length_m: f64,
        /// Conductivity, W/m.K.
        conductivity: Property,
    },
    /// By natural convection: coefficient · area · |ΔT|^exponent · ΔT.
    Natural {
        /// Area, m².
        area_m2: f64,
        /// Coefficient at 1 K, W/m².K.
        coefficient: f64,
        /// Exponent: 1/4 laminar, 1/3 turbulent.
        exponent: f64,
    },
    /// By gray radiation: exchange area · σ · (Ta⁴ − Tb⁴).
    Radiation {
        /// Total exchange area, m².
        exchange_m2: f64,
    },
}

/// Heat from the first node to the second, W, and its derivatives with each temperature, W/K.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flow {
    /// Heat.
    pub watts: f64,
    /// With the first temperature.
    pub by_first: f64,
    /// With the second.
    pub by_second: f64,
}

impl Law {
    /// Heat from a to b at these temperatures, K, in W.
    pub fn watts(&self, a: f64, b: f64) -> f64 {
        match self {
            Self::Conductance(g) => g * (a - b),
            Self::Solid {
                area_over_length_m: s,
                conductivity,
            } => s * conductivity.at(f64::midpoint(a, b)) * (a - b),
            _ => self.flow(a, b).watts,
        }
    }

    /// The same with its derivatives.
    pub fn flow(&self, a: f64, b: f64) -> Flow {
        let d = a - b;
        let even = |watts: f64, slope: f64| Flow {
            watts,
            by_first: slope,
            by_second: -slope,
        };
        match self {
            Self::Conductance(g) => even(g * d, *g),
            Self::Solid {
                area_over_length_m: s,
                conductivity,
            } => {
                let (k, slope) = conductivity.with_slope(f64::midpoint(a, b));
                Flow {
                    watts: s * k * d,
                    by_first: s * (k + slope * d / 2.0),
                    by_second: s * (-k + slope * d / 2.0),
                }
            }
            Self::Natural {
                area_m2,
                coefficient,
                exponent: n,
            } => {
                let r2 = d * d + STILL_K * STILL_K;
                let h = coefficient * area_m2 * r2.powf(n / 2.0);
                even(h * d, h * (1.0 + n * d * d / r2))
            }
            Self::Radiation { exchange_m2: g } => {
                let (a2, b2) = (a * a, b * b);
                Flow {
                    watts: g * SIGMA * (a2 + b2) * (a + b) * d,
                    by_first: 4.0 * g * SIGMA * a2 * a,
                    by_second: -4.0 * g * SIGMA * b2 * b,
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derivatives_agree_with_differences() {
        for law in [
            Law::Conductance(2.0),
            Law::Solid {
                area_over_length_m: 3.0,
                conductivity: Property::line_c(0.1, 1.4e-4),
            },
            Law::Natural {
                area_m2: 2.0,
                coefficient: 1.31,
                exponent: 1.0 / 3.0,
            },
            Law::Radiation { exchange_m2: 0.7 },
        ] {
            for (a, b) in [(400.0, 300.0), (300.0, 300.1), (1500.0, 1400.0)] {
                let f = law.flow(a, b);
                assert!((f.watts - law.watts(a, b)).abs() <= 1e-12 * f.watts.abs());
                let h = 1e-4;
                let first = (law.flow(a + h, b).watts - law.flow(a - h, b).watts) / (2.0 * h);
                let second = (law.flow(a, b + h).watts - law.flow(a, b - h).watts) / (2.0 * h);
                assert!(
                    (f.by_first - first).abs() < 1e-4 * (1.0 + first.abs()),
                    "{law:?}"
                );
                assert!(
                    (f.by_second - second).abs() < 1e-4 * (1.0 + second.abs()),
                    "{law:?}"
                );
                assert!((law.flow(b, a).watts + f.watts).abs() < 1e-9 * (1.0 + f.watts.abs()));
                assert!(law.flow(a, a).watts.abs() < 1e-12);
            }
        }
    }
}
