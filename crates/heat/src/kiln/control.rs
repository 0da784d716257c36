//! The kiln's controller: ramp and hold by proportional and integral action on limited power.

/// What the controller is doing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// The set point moves at a rate, K/s, toward a target, K, and waits for a kiln that lags.
    Ramp {
        /// Rate; falling is negative.
        rate: f64,
        /// Target.
        target_k: f64,
    },
    /// The set point stays; the sensor has not arrived. True when it comes from below.
    Arrive {
        /// Set point, K.
        target_k: f64,
        /// From below.
        rising: bool,
    },
    /// The set point stays.
    Hold {
        /// Set point, K.
        target_k: f64,
    },
    /// The set point moves at a rate whatever the kiln does, and the share of full power lies between two limits.
    /// With limits beyond 0 and 1 the kiln is made to follow what its sensor was seen to do, and the share tells what
    /// power that takes.
    Follow {
        /// Rate, K/s.
        rate: f64,
        /// Least and most share of full power.
        between: (f64, f64),
        /// Everything is shut, as it is on the way down.
        shut: bool,
    },
    /// No power, until sensor and ware are below this, K.
    Off {
        /// Cool enough.
        until_k: f64,
    },
}

/// Error that asks for full power, K.
const BAND_K: f64 = 25.0;
/// Time of the integral action, s.
const INTEGRAL_S: f64 = 900.0;
/// Time in which the integral gives way to a limit of power, s.
const UNWIND_S: f64 = 240.0;
/// The set point slows down when the kiln lags by half of this, and waits at all of it, K.
pub const WAIT_K: f64 = 12.0;
/// The kiln has arrived when its sensor is this near, K.
pub const ARRIVED_K: f64 = 1.5;
/// Width of the rounded corners of the power limits, as a share of full power.
const CORNER: f64 = 0.03;

/// The numbers above by name.
pub fn constants() -> [(&'static str, f64); 6] {
    [
        ("band_k", BAND_K),
        ("integral_s", INTEGRAL_S),
        ("unwind_s", UNWIND_S),
        ("wait_k", WAIT_K),
        ("arrived_k", ARRIVED_K),
        ("corner", CORNER),
    ]
}

/// Share of full power and its derivative, limited to 0 … 1 with rounded corners.
pub fn limited(wanted: f64) -> (f64, f64) {
    let c = CORNER;
    if wanted <= -c {
        (0.0, 0.0)
    } else if wanted < c {
        ((wanted + c).powi(2) / (4.0 * c), (wanted + c) / (2.0 * c))
    } else if wanted <= 1.0 - c {
        (wanted, 1.0)
    } else if wanted < 1.0 + c {
        let d = 1.0 + c - wanted;
        (1.0 - d * d / (4.0 * c), d / (2.0 * c))
    } else {
        (1.0, 0.0)
    }
}

/// The share of full power that is asked for, with its derivatives.
#[derive(Debug, Clone, Copy)]
pub struct Wanted {
    /// Share given, after the limits.
    pub share: f64,
    /// Its derivative by the set point; by the sensor it is the negative of this.
    pub by_set: f64,
    /// By the integral.
    pub by_integral: f64,
    /// Rate of the integral, 1/s.
    pub integral_rate: f64,
    /// Its derivative by the set point.
    pub rate_by_set: f64,
    /// By the integral.
    pub rate_by_integral: f64,
}

impl Aim {
    /// Least and most share of full power.
    pub fn limits(self) -> (f64, f64) {
        match self {
            Self::Follow { between, .. } => between,
            _ => (0.0, 1.0),
        }
    }
}

/// The controller's answer to a set point, a sensor and its integral, between a least and a most share.
pub fn wanted(set_k: f64, sensor_k: f64, integral: f64, (least, most): (f64, f64)) -> Wanted {
    let error = set_k - sensor_k;
    let asked = error / BAND_K + integral;
    let (share, slope) = limited((asked - least) / (most - least));
    let share = least + (most - least) * share;
    let unwind = (slope - 1.0) / UNWIND_S;
    Wanted {
        share,
        by_set: slope / BAND_K,
        by_integral: slope,
        integral_rate: error / (BAND_K * INTEGRAL_S) + (share - asked) / UNWIND_S,
        rate_by_set: 1.0 / (BAND_K * INTEGRAL_S) + unwind / BAND_K,
        rate_by_integral: unwind,
    }
}

/// Rate of the set point and its derivative by how far it is ahead of the sensor.
pub fn set_rate(rate: f64, set_k: f64, sensor_k: f64) -> (f64, f64) {
    let ahead = (set_k - sensor_k) * rate.signum();
    let half = WAIT_K / 2.0;
    if ahead <= half {
        (rate, 0.0)
    } else if ahead < WAIT_K {
        (rate * (WAIT_K - ahead) / half, -rate.abs() / half)
    } else {
        (0.0, 0.0)
    }
}
