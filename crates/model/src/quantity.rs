//! Quantities as types: a wrong unit does not compile.
//!
//! Each holds one SI number. Constructors and readers carry the unit in their name, so a
//! bare number never crosses a function boundary. Temperatures and temperature differences
//! are two types: 20 °C of warmth is not 20 °C on the scale.

use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Declares one linear quantity: a newtype over its SI value with the operators that make sense.
macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident { $($(#[$udoc:meta])* $new:ident, $get:ident = $factor:expr;)+ }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Default, Serialize, Deserialize, JsonSchema)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);
            $(
                $(#[$udoc])*
                pub const fn $new(value: f64) -> Self { Self(value * $factor) }
                #[doc = concat!("Reads the value back, see [`Self::", stringify!($new), "`].")]
                pub const fn $get(self) -> f64 { self.0 / $factor }
            )+
            /// The smaller of two.
            pub const fn min(self, other: Self) -> Self { Self(self.0.min(other.0)) }
            /// The larger of two.
            pub const fn max(self, other: Self) -> Self { Self(self.0.max(other.0)) }
            /// The size without its sign.
            pub const fn abs(self) -> Self { Self(self.0.abs()) }
            /// False for NaN and the infinities.
            pub const fn is_finite(self) -> bool { self.0.is_finite() }
            /// A total order, for sorting.
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering { self.0.total_cmp(&other.0) }
        }
        impl Add for $name { type Output = Self; fn add(self, o: Self) -> Self { Self(self.0 + o.0) } }
        impl Sub for $name { type Output = Self; fn sub(self, o: Self) -> Self { Self(self.0 - o.0) } }
        impl Neg for $name { type Output = Self; fn neg(self) -> Self { Self(-self.0) } }
        impl Mul<f64> for $name { type Output = Self; fn mul(self, k: f64) -> Self { Self(self.0 * k) } }
        impl Div<f64> for $name { type Output = Self; fn div(self, k: f64) -> Self { Self(self.0 / k) } }
        impl Div for $name { type Output = f64; fn div(self, o: Self) -> f64 { self.0 / o.0 } }
        impl AddAssign for $name { fn add_assign(&mut self, o: Self) { self.0 += o.0; } }
        impl SubAssign for $name { fn sub_assign(&mut self, o: Self) { self.0 -= o.0; } }
        impl std::iter::Sum for $name {
            fn sum<I: Iterator<Item = Self>>(it: I) -> Self { it.fold(Self::ZERO, |a, b| a + b) }
        }
    };
}

quantity! {
    /// A length, in metres inside.
    Length {
        /// Metres.
        m, to_m = 1.0;
        /// Millimetres.
        mm, to_mm = 1e-3;
        /// Inches of 25.4 mm.
        inches, to_inches = 0.0254;
    }
}
quantity! {
    /// An area, in square metres inside.
    Area {
        /// Square metres.
        m2, to_m2 = 1.0;
    }
}
quantity! {
    /// A mass, in kilograms inside.
    Mass {
        /// Kilograms.
        kg, to_kg = 1.0;
        /// Grams.
        g, to_g = 1e-3;
        /// Avoirdupois pounds of 0.453 592 37 kg.
        pounds, to_pounds = 0.453_592_37;
    }
}
quantity! {
    /// A difference of two temperatures, in kelvin inside.
    TempDiff {
        /// Kelvin, the same as Celsius degrees of difference.
        k, to_k = 1.0;
        /// Fahrenheit degrees of difference.
        fahrenheit, to_fahrenheit = 5.0 / 9.0;
    }
}
quantity! {
    /// A span of time, in seconds inside.
    Span {
        /// Seconds.
        s, to_s = 1.0;
        /// Minutes.
        minutes, to_minutes = 60.0;
        /// Hours.
        h, to_h = 3600.0;
    }
}
quantity! {
    /// A rate of temperature, in kelvin a second inside. Falling is negative.
    Rate {
        /// Kelvin a second.
        k_per_s, to_k_per_s = 1.0;
        /// Celsius degrees an hour.
        c_per_h, to_c_per_h = 1.0 / 3600.0;
        /// Fahrenheit degrees an hour.
        f_per_h, to_f_per_h = 5.0 / 9.0 / 3600.0;
    }
}
quantity! {
    /// A power, in watts inside.
    Power {
        /// Watts.
        w, to_w = 1.0;
        /// Kilowatts.
        kw, to_kw = 1e3;
    }
}
quantity! {
    /// An energy, in joules inside.
    Energy {
        /// Joules.
        j, to_j = 1.0;
        /// Kilowatt hours.
        kwh, to_kwh = 3.6e6;
    }
}
quantity! {
    /// A plane angle, in radians inside, counter-clockwise from +x.
    Angle {
        /// Radians.
        rad, to_rad = 1.0;
        /// Degrees.
        deg, to_deg = std::f64::consts::PI / 180.0;
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, o: Self) -> Area {
        Area(self.0 * o.0)
    }
}
impl Mul<Span> for Rate {
    type Output = TempDiff;
    fn mul(self, t: Span) -> TempDiff {
        TempDiff(self.0 * t.0)
    }
}
impl Div<Rate> for TempDiff {
    type Output = Span;
    fn div(self, r: Rate) -> Span {
        Span(self.0 / r.0)
    }
}
impl Mul<Span> for Power {
    type Output = Energy;
    fn mul(self, t: Span) -> Energy {
        Energy(self.0 * t.0)
    }
}

/// A temperature on the scale, in kelvin inside.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd, Serialize, Deserialize, JsonSchema)]
#[serde(from = "f64", into = "f64")]
pub struct Temperature(f64);

impl Temperature {
    /// Degrees Celsius.
    pub const fn c(v: f64) -> Self {
        Self(v + 273.15)
    }
    /// Degrees Fahrenheit.
    pub const fn f(v: f64) -> Self {
        Self((v - 32.0) * 5.0 / 9.0 + 273.15)
    }
    /// Kelvin.
    pub const fn k(v: f64) -> Self {
        Self(v)
    }
    /// Reads degrees Celsius.
    pub const fn to_c(self) -> f64 {
        self.0 - 273.15
    }
    /// Reads degrees Fahrenheit.
    pub const fn to_f(self) -> f64 {
        (self.0 - 273.15) * 9.0 / 5.0 + 32.0
    }
    /// Reads kelvin.
    pub const fn to_k(self) -> f64 {
        self.0
    }
    /// The lower of two.
    pub const fn min(self, o: Self) -> Self {
        Self(self.0.min(o.0))
    }
    /// The higher of two.
    pub const fn max(self, o: Self) -> Self {
        Self(self.0.max(o.0))
    }
}

/// In files a temperature is a number of degrees Celsius; its field name ends in `_c`.
impl From<f64> for Temperature {
    fn from(celsius: f64) -> Self {
        Self::c(celsius)
    }
}
impl From<Temperature> for f64 {
    fn from(t: Temperature) -> Self {
        t.to_c()
    }
}
impl Sub for Temperature {
    type Output = TempDiff;
    fn sub(self, o: Self) -> TempDiff {
        TempDiff(self.0 - o.0)
    }
}
impl Add<TempDiff> for Temperature {
    type Output = Self;
    fn add(self, d: TempDiff) -> Self {
        Self(self.0 + d.0)
    }
}
impl Sub<TempDiff> for Temperature {
    type Output = Self;
    fn sub(self, d: TempDiff) -> Self {
        Self(self.0 - d.0)
    }
}

/// Money in the studio's currency, in hundredths, so that sums are exact.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Serialize, Deserialize, JsonSchema,
)]
#[serde(transparent)]
pub struct Money(i64);

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// Hundredths of the currency's unit.
    pub const fn cents(v: i64) -> Self {
        Self(v)
    }
    /// Reads hundredths.
    pub const fn to_cents(self) -> i64 {
        self.0
    }
    /// Rounds an amount in whole units to the nearest hundredth.
    pub fn units(v: f64) -> Self {
        Self((v * 100.0).round() as i64)
    }
    /// Reads whole units.
    pub fn to_units(self) -> f64 {
        self.0 as f64 / 100.0
    }
}
impl Add for Money {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self(self.0 + o.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_round_trip() {
        assert!((Length::inches(28.0).to_mm() - 711.2).abs() < 1e-9);
        assert!((Temperature::f(2232.0).to_c() - 1222.222).abs() < 1e-3);
        assert!((TempDiff::fahrenheit(108.0).to_k() - 60.0).abs() < 1e-12);
        assert!(
            (Rate::c_per_h(60.0) * Span::h(2.0) - TempDiff::k(120.0)).abs() < TempDiff::k(1e-9)
        );
        assert!((Power::kw(2.0) * Span::h(3.0)).to_kwh() - 6.0 < 1e-12);
        assert_eq!(Money::units(12.345).to_cents(), 1235);
    }
}
