//! Single values of a [`Row`]: words, numbers, quantities, cones.

use toml::de::DeValue;

use super::pen::on_clock;
use super::row::Row;
use super::spot::{MOST_LETTERS, short, unfit, written};
use super::units::{Limits, Units};
use crate::cone::Cone;
use crate::{Angle, Length, Mass, Temperature};

impl Row<'_, '_> {
    /// A text with something in it.
    pub(super) fn text(&self, key: &str) -> Option<String> {
        let remedy = self.page().says("Write it in quotes", "Write it in");
        match self.need(key, remedy)? {
            DeValue::String(s) if !s.trim().is_empty() => match unfit(s.trim(), MOST_LETTERS) {
                Some((what, remedy)) => {
                    self.fault(key, what, &remedy);
                    None
                }
                None => Some(s.trim().to_owned()),
            },
            other => {
                self.misfit(key, other, remedy);
                None
            }
        }
    }

    /// A number that is finite.
    pub(super) fn number(&self, key: &str) -> Option<f64> {
        let remedy = self.page().says(
            "Write a number without quotes, with a point for decimals",
            "Write a number without a unit, with a point for decimals",
        );
        let value = self.need(key, remedy)?;
        let found = match value {
            DeValue::Integer(i) => i64::from_str_radix(i.as_str(), i.radix())
                .ok()
                .map(|n| n as f64),
            DeValue::Float(f) => f.as_str().parse::<f64>().ok(),
            DeValue::String(s) if self.page().is_form() => super::size::number(s).ok(),
            _ => None,
        };
        let found = found.filter(|n| n.is_finite());
        if found.is_none() {
            self.misfit(key, value, remedy);
        }
        found
    }

    /// A number within bounds.
    pub(super) fn number_in(&self, key: &str, least: f64, most: f64) -> Option<f64> {
        let found = self.number(key)?;
        if (least..=most).contains(&found) {
            return Some(found);
        }
        self.out_of_bounds(key, &format!("Write a number from {least} to {most}"));
        None
    }

    /// A whole number within bounds.
    pub(super) fn count(&self, key: &str, least: u16, most: u16) -> Option<u16> {
        let found = self.number(key)?;
        let fits = (f64::from(least)..=f64::from(most)).contains(&found);
        if fits && found.fract().abs() < f64::EPSILON {
            return Some(found as u16);
        }
        self.out_of_bounds(key, &format!("Write a whole number from {least} to {most}"));
        None
    }

    fn out_of_bounds(&self, key: &str, remedy: &str) {
        let found = self.find(key).map_or_else(String::new, written);
        self.fault(key, format!("{found} is out of bounds"), remedy);
    }

    fn within<Q>(&self, key: &str, read: impl FnOnce(f64) -> Result<Q, String>) -> Option<Q> {
        let found = self.number(key)?;
        read(found)
            .map_err(|remedy| self.out_of_bounds(key, &remedy))
            .ok()
    }

    /// A length in the studio's unit.
    pub(super) fn length(&self, key: &str, units: Units, limits: Limits<Length>) -> Option<Length> {
        self.within(key, |v| units.length(v, limits))
    }

    /// A mass in the studio's unit.
    pub(super) fn mass(&self, key: &str, units: Units, limits: Limits<Mass>) -> Option<Mass> {
        self.within(key, |v| units.mass(v, limits))
    }

    /// A temperature in the studio's unit.
    pub(super) fn temperature(&self, key: &str, units: Units) -> Option<Temperature> {
        self.within(key, |v| units.temperature(v))
    }

    /// True or false; false when it is not written.
    pub(super) fn flag(&self, key: &str) -> Option<bool> {
        if self.find(key).is_some() {
            self.sure_flag(key)
        } else {
            Some(false)
        }
    }

    /// True or false, which must be written.
    pub(super) fn sure_flag(&self, key: &str) -> Option<bool> {
        let remedy = self
            .page()
            .says("Write true or false, without quotes", "Say yes or no");
        match self.need(key, remedy)? {
            DeValue::Boolean(b) => Some(*b),
            DeValue::String(s) if self.page().is_form() && s == "true" => Some(true),
            DeValue::String(s) if self.page().is_form() && s == "false" => Some(false),
            other => {
                self.misfit(key, other, remedy);
                None
            }
        }
    }

    /// One of a list of words.
    pub(super) fn word<T: Copy>(&self, key: &str, known: &[(&str, T)]) -> Option<T> {
        let words: Vec<String> = known.iter().map(|(w, _)| format!("\"{w}\"")).collect();
        let remedy = format!("Use one of {}", words.join(", "));
        match self.need(key, &remedy)? {
            DeValue::String(s) => {
                let hit = known.iter().find(|(w, _)| w == s).map(|(_, t)| *t);
                if hit.is_none() {
                    self.fault(key, format!("\"{}\" is not known here", short(s)), &remedy);
                }
                hit
            }
            other => {
                self.misfit(key, other, &remedy);
                None
            }
        }
    }

    /// A cone in quotes: without them 06 could not be told from 6.
    pub(super) fn cone(&self, key: &str) -> Option<Cone> {
        let remedy = self.page().says(
            "Write the cone in quotes, as \"6\" or \"06\": 022 to 01 or 1 to 14",
            "Write 022 to 01 or 1 to 14; 06 is cooler than 6",
        );
        match self.need(key, remedy)? {
            DeValue::String(s) => {
                let cone = Cone::parse(s).ok();
                if cone.is_none() {
                    self.fault(key, format!("\"{}\" is not a cone", short(s)), remedy);
                }
                cone
            }
            other => {
                self.misfit(key, other, remedy);
                None
            }
        }
    }

    /// The cones `cone_from` and `cone_to`, the cooler first.
    pub(super) fn cone_range(&self) -> Option<(Cone, Cone)> {
        let (from, to) = (self.cone("cone_from"), self.cone("cone_to"));
        let (from, to) = (from?, to?);
        if from <= to {
            return Some((from, to));
        }
        self.fault(
            "cone_from",
            format!(
                "cone {from} ({}) is hotter than {}, {to} ({})",
                from.range_name(),
                self.page().says("cone_to", "the hottest cone"),
                to.range_name()
            ),
            self.page().says(
                "Write the cooler cone in cone_from and the hotter in cone_to; 06 is cooler than 6",
                "Write the cooler of the two first; 06 is cooler than 6",
            ),
        );
        None
    }

    /// A clock position as an angle: 12 is toward +y, 3 toward +x; halves are decimals, 1.5.
    pub(super) fn clock(&self, key: &str) -> Option<Angle> {
        let hours = self.number(key)?;
        if (0.0..13.0).contains(&hours) {
            return Some(on_clock(hours));
        }
        self.out_of_bounds(
            key,
            "Write a clock position from 1 to 12, half past seven as 7.5; 12 is toward hinge or door",
        );
        None
    }
}
