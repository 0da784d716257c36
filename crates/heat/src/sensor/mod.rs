//! Thermocouples: voltage and temperature of the ITS-90 reference functions.
//!
//! These are the functions of an ideal couple. A real one is off by its tolerance when new (type K,
//! class 2: 0.75 %, 9 °C at 1200 °C) and drifts with every firing.

mod table;

use std::fmt;
use std::ops::{Add, Sub};

use glost_model::Temperature;

use table::{Function, Piece};

/// A thermoelectric voltage, in millivolts inside.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Emf(f64);

impl Emf {
    /// Millivolts.
    pub const fn mv(v: f64) -> Self {
        Self(v)
    }
    /// Reads millivolts.
    pub const fn to_mv(self) -> f64 {
        self.0
    }
}
impl Add for Emf {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self(self.0 + o.0)
    }
}
impl Sub for Emf {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self(self.0 - o.0)
    }
}
impl fmt::Display for Emf {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.3} mV", self.0)
    }
}

/// The kinds of thermocouple met in kilns.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Thermocouple {
    /// Nickel-chromium against nickel-aluminium: nearly every studio kiln.
    K,
    /// Nicrosil against nisil: steadier than K.
    N,
    /// Platinum with 10 % rhodium against platinum.
    S,
    /// Platinum with 13 % rhodium against platinum.
    R,
    /// Platinum with 30 % rhodium against platinum with 6 %.
    B,
}

/// A temperature or voltage at which a thermocouple has no reference function.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum OutOfRange {
    /// A temperature.
    #[error(
        "type {kind} has reference values from {least_c} to {most_c} °C, not at {found_c:.1} °C"
    )]
    Temperature {
        /// The kind.
        kind: Thermocouple,
        /// What was asked for, °C.
        found_c: f64,
        /// Lowest, °C.
        least_c: f64,
        /// Highest, °C.
        most_c: f64,
    },
    /// A voltage, the cold junction counted in.
    #[error(
        "type {kind} tells temperatures from {least_c} to {most_c} °C, that is from {least} to {most}, not at {found}"
    )]
    Emf {
        /// The kind.
        kind: Thermocouple,
        /// What was asked for.
        found: Emf,
        /// Lowest.
        least: Emf,
        /// Highest.
        most: Emf,
        /// Temperature of the lowest, °C.
        least_c: f64,
        /// Temperature of the highest, °C.
        most_c: f64,
    },
}

/// Printed tables stop at 0.001 mV, so a voltage rounded at the end of a range still belongs to it.
const ROUNDED_MV: f64 = 0.0005;
/// Kelvin and Celsius differ by rounding alone over this.
const ROUNDED_K: f64 = 1e-6;
/// Below it type B gives almost nothing and the same voltage twice; its published inverse starts here.
const B_FROM_C: f64 = 250.0;

impl Thermocouple {
    /// Every kind.
    pub const ALL: [Self; 5] = [Self::K, Self::N, Self::S, Self::R, Self::B];

    const fn function(self) -> &'static Function {
        match self {
            Self::K => &table::K,
            Self::N => &table::N,
            Self::S => &table::S,
            Self::R => &table::R,
            Self::B => &table::B,
        }
    }

    fn range_c(self) -> (f64, f64) {
        let f = self.function();
        (f.from_c, f.pieces.last().map_or(f.from_c, |p| p.to_c))
    }

    /// Temperatures for which [`Self::emf`] has a value.
    pub fn range(self) -> (Temperature, Temperature) {
        let (least, most) = self.range_c();
        (Temperature::c(least), Temperature::c(most))
    }

    /// Temperatures that [`Self::temperature`] can give. Type B starts at 250 °C.
    pub fn readable_range(self) -> (Temperature, Temperature) {
        let (least, most) = self.readable_c();
        (Temperature::c(least), Temperature::c(most))
    }

    fn readable_c(self) -> (f64, f64) {
        let (least, most) = self.range_c();
        let least = if self == Self::B { B_FROM_C } else { least };
        (least, most)
    }

    /// Voltage at a temperature, with the cold junction at 0 °C.
    ///
    /// # Errors
    /// [`OutOfRange`] outside [`Self::range`], and for NaN.
    pub fn emf(self, at: Temperature) -> Result<Emf, OutOfRange> {
        let (least_c, most_c) = self.range_c();
        let found_c = at.to_c();
        if (least_c - ROUNDED_K..=most_c + ROUNDED_K).contains(&found_c) {
            return Ok(Emf(self.at_c(found_c.clamp(least_c, most_c))));
        }
        Err(OutOfRange::Temperature {
            kind: self,
            found_c,
            least_c,
            most_c,
        })
    }

    /// Temperature at a voltage, with the cold junction at 0 °C.
    ///
    /// # Errors
    /// [`OutOfRange`] outside [`Self::readable_range`], and for NaN.
    pub fn temperature(self, emf: Emf) -> Result<Temperature, OutOfRange> {
        let (least_c, most_c) = self.readable_c();
        let (least, most) = (self.at_c(least_c), self.at_c(most_c));
        if !(least - ROUNDED_MV..=most + ROUNDED_MV).contains(&emf.0) {
            return Err(OutOfRange::Emf {
                kind: self,
                found: emf,
                least: Emf(least),
                most: Emf(most),
                least_c,
                most_c,
            });
        }
        let (mut low, mut high) = (least_c, most_c);
        // Halving 2000 °C so often leaves a billionth of a degree.
        for _ in 0..42 {
            let mid = f64::midpoint(low, high);
            if self.at_c(mid) < emf.0 {
                low = mid;
            } else {
                high = mid;
            }
        }
        Ok(Temperature::c(f64::midpoint(low, high)))
    }

    /// Temperature of the hot junction from the voltage at the terminals, which are at `cold`.
    ///
    /// # Errors
    /// [`OutOfRange`] when either end is out of range.
    pub fn hot_junction(self, emf: Emf, cold: Temperature) -> Result<Temperature, OutOfRange> {
        self.temperature(emf + self.emf(cold)?)
    }

    fn at_c(self, c: f64) -> f64 {
        let pieces = self.function().pieces;
        let piece = pieces.iter().find(|p| c <= p.to_c).or(pieces.last());
        piece.map_or(f64::NAN, |p| p.at_c(c))
    }
}

impl Piece {
    fn at_c(&self, c: f64) -> f64 {
        let sum = self.powers.iter().rev().fold(0.0, |sum, k| sum * c + k);
        let bell = self
            .bell
            .map_or(0.0, |[a0, a1, a2]| a0 * (a1 * (c - a2).powi(2)).exp());
        sum + bell
    }
}

impl fmt::Display for Thermocouple {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::K => "K",
            Self::N => "N",
            Self::S => "S",
            Self::R => "R",
            Self::B => "B",
        })
    }
}
