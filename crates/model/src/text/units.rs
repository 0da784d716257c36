//! The studio's units, which govern every file.

use crate::shown::Shown;
use crate::{Length, Mass, Temperature};

/// Units of all numbers without a unit of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Units {
    inches: bool,
    pounds: bool,
    fahrenheit: bool,
    /// False while the units could not be read; limits that depend on them then mean nothing.
    sure: bool,
}

/// Smallest and largest that is sane; both ends are allowed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Limits<Q> {
    pub(super) least: Q,
    pub(super) most: Q,
}

/// A length of something solid: more than nothing, at most this many metres.
pub(super) const fn solid(most_m: f64) -> Limits<Length> {
    Limits {
        least: Length::m(1e-6),
        most: Length::m(most_m),
    }
}

/// A height or reach that may be nothing, at most this many metres.
pub(super) const fn from_zero(most_m: f64) -> Limits<Length> {
    Limits {
        least: Length::ZERO,
        most: Length::m(most_m),
    }
}

/// A mass of more than nothing, at most this many kilograms.
pub(super) const fn weighty(most_kg: f64) -> Limits<Mass> {
    Limits {
        least: Mass::g(1e-3),
        most: Mass::kg(most_kg),
    }
}

impl Units {
    pub(super) const fn new(inches: bool, pounds: bool, fahrenheit: bool) -> Self {
        Self {
            inches,
            pounds,
            fahrenheit,
            sure: true,
        }
    }

    /// Those of a studio that was read.
    pub(super) const fn of(shown: Shown) -> Self {
        Self::new(shown.inches, shown.pounds, shown.fahrenheit)
    }

    /// Stands in while the real ones could not be read.
    pub(super) const UNSURE: Self = Self {
        inches: false,
        pounds: false,
        fahrenheit: false,
        sure: false,
    };

    pub(super) const fn shown(self) -> Shown {
        Shown {
            fahrenheit: self.fahrenheit,
            inches: self.inches,
            pounds: self.pounds,
        }
    }

    const fn of_length(self, v: f64) -> Length {
        if self.inches {
            Length::inches(v)
        } else {
            Length::mm(v)
        }
    }

    /// A length within its limits.
    ///
    /// # Errors
    /// What to write instead.
    pub(super) fn length(self, v: f64, limits: Limits<Length>) -> Result<Length, String> {
        let found = self.of_length(v);
        self.fits(found, limits).map(|()| found)
    }

    /// Whether a length is within its limits.
    ///
    /// # Errors
    /// What to write instead.
    pub(super) fn fits(self, found: Length, limits: Limits<Length>) -> Result<(), String> {
        let solid = limits.least > Length::ZERO;
        // Without units only the sign can be judged.
        let blind = !self.sure && found >= Length::ZERO && (found > Length::ZERO || !solid);
        if blind || (limits.least..=limits.most).contains(&found) {
            return Ok(());
        }
        let bound = if solid { "more than 0" } else { "0 or more" };
        Err(format!(
            "Write {bound}, at most {}",
            self.say_length(limits.most)
        ))
    }

    /// A coordinate, which may be negative, within 3 m of the origin.
    ///
    /// # Errors
    /// What to write instead.
    pub(super) fn coordinate(self, v: f64) -> Result<Length, String> {
        let found = self.of_length(v);
        if found.is_finite() && (!self.sure || found.abs() <= Length::m(3.0)) {
            return Ok(found);
        }
        Err(format!("Write at most {}", self.say_length(Length::m(3.0))))
    }

    /// A mass within its limits.
    ///
    /// # Errors
    /// What to write instead.
    pub(super) fn mass(self, v: f64, limits: Limits<Mass>) -> Result<Mass, String> {
        let found = if self.pounds {
            Mass::pounds(v)
        } else {
            Mass::kg(v)
        };
        if (limits.least..=limits.most).contains(&found) || (!self.sure && v > 0.0) {
            return Ok(found);
        }
        let (most, unit) = if self.pounds {
            (limits.most.to_pounds(), "lb")
        } else {
            (limits.most.to_kg(), "kg")
        };
        Err(format!("Write more than 0, at most {most:.0} {unit}"))
    }

    /// A temperature from 300 to 1800 °C, that of kilns and what stands in them.
    ///
    /// # Errors
    /// What to write instead.
    pub(super) fn temperature(self, v: f64) -> Result<Temperature, String> {
        let found = if self.fahrenheit {
            Temperature::f(v)
        } else {
            Temperature::c(v)
        };
        if !self.sure || (Temperature::c(300.0)..=Temperature::c(1800.0)).contains(&found) {
            return Ok(found);
        }
        Err(if self.fahrenheit {
            "Write degrees Fahrenheit, from 572 to 3272".to_owned()
        } else {
            "Write degrees Celsius, from 300 to 1800".to_owned()
        })
    }

    /// A length as the studio writes it.
    pub(super) fn say_length(self, l: Length) -> String {
        if !self.sure {
            return format!("{:.1}", l.to_mm());
        }
        if self.inches {
            format!("{:.2} in", l.to_inches())
        } else {
            format!("{:.1} mm", l.to_mm())
        }
    }
}
