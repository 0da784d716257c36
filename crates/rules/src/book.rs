//! The studio's rule book: defaults with its own numbers laid over them.

use std::collections::BTreeMap;

use glost_model::fault::Fault;
use glost_model::{Length, Mass};

use crate::{Rule, Setting, value};

/// Every number rule with the value in force.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RuleBook {
    own: BTreeMap<&'static str, Setting>,
}

impl RuleBook {
    /// Lays a studio's own numbers over the defaults. A length is written `8 mm` or `0.25 in`,
    /// a mass `5 kg` or `11 lb`, a number of cones, of pieces or of times `1.5`.
    ///
    /// # Errors
    /// Every unknown rule and every value that does not fit its rule.
    pub fn from_overrides(
        texts: &BTreeMap<String, String>,
        file: &str,
    ) -> Result<Self, Vec<Fault>> {
        let mut own = BTreeMap::new();
        let mut faults = Vec::new();
        let mut fault = |id: &str, what: String, remedy: String| {
            faults.push(Fault {
                file: file.to_owned(),
                line: None,
                field: format!("rules.{id}"),
                what,
                remedy,
            });
        };
        for (id, text) in texts {
            let Some(rule) = value::ALL.iter().find(|r| r.id == id) else {
                let known: Vec<_> = value::ALL.iter().map(|r| r.id).collect();
                fault(
                    id,
                    "no rule has this id".to_owned(),
                    format!("Use one of {}", known.join(", ")),
                );
                continue;
            };
            match read(rule.default, text) {
                Some(setting) => {
                    own.insert(rule.id, setting);
                }
                None => fault(
                    id,
                    format!("'{text}' cannot be its value"),
                    like(rule.default).to_owned(),
                ),
            }
        }
        if faults.is_empty() {
            Ok(Self { own })
        } else {
            Err(faults)
        }
    }

    fn setting(&self, rule: &Rule) -> Setting {
        self.own.get(rule.id).copied().unwrap_or(rule.default)
    }

    /// The length that a rule is set to; nothing for a rule that is no length.
    pub fn length(&self, rule: &Rule) -> Length {
        match self.setting(rule) {
            Setting::Length(l) => l,
            _ => Length::ZERO,
        }
    }

    /// The cones that a rule is set to; nothing for a rule that is not in cones.
    pub fn cones(&self, rule: &Rule) -> f64 {
        match self.setting(rule) {
            Setting::Cones(c) => c,
            _ => 0.0,
        }
    }

    /// The mass that a rule is set to; nothing for a rule that is no mass.
    pub fn mass(&self, rule: &Rule) -> Mass {
        match self.setting(rule) {
            Setting::Mass(m) => m,
            _ => Mass::kg(0.0),
        }
    }

    /// The pieces that a rule is set to; none for a rule that counts nothing.
    pub fn count(&self, rule: &Rule) -> usize {
        match self.setting(rule) {
            Setting::Count(n) | Setting::Several(n) => usize::from(n),
            _ => 0,
        }
    }

    /// The times that a rule is set to; nothing for a rule that is no ratio.
    pub fn times(&self, rule: &Rule) -> f64 {
        match self.setting(rule) {
            Setting::Times(t) => t,
            _ => 0.0,
        }
    }
}

fn read(like: Setting, text: &str) -> Option<Setting> {
    let text = text.trim();
    let sane = |v: f64, most: f64| (v.is_finite() && (0.0..=most).contains(&v)).then_some(v);
    match like {
        Setting::Cones(_) => sane(text.parse().ok()?, 14.0).map(Setting::Cones),
        Setting::Times(_) => sane(text.parse().ok()?, 100.0).map(Setting::Times),
        Setting::Count(_) => {
            let count = text.parse().ok().filter(|n| (1..=100).contains(n));
            count.map(Setting::Count)
        }
        Setting::Several(_) => {
            let several = text.parse().ok().filter(|n| *n <= 100);
            several.map(Setting::Several)
        }
        Setting::Length(_) => {
            let length = unit(text, &[("mm", Length::mm), ("in", Length::inches)])?;
            sane(length.to_m(), 1.0).map(|m| Setting::Length(Length::m(m)))
        }
        Setting::Mass(_) => {
            let mass = unit(text, &[("kg", Mass::kg), ("lb", Mass::pounds)])?;
            sane(mass.to_kg(), 200.0).map(|kg| Setting::Mass(Mass::kg(kg)))
        }
    }
}

/// A unit's name, and the quantity of so many of it.
type Unit<Q> = (&'static str, fn(f64) -> Q);

/// A number with its unit, one of these.
fn unit<Q>(text: &str, units: &[Unit<Q>]) -> Option<Q> {
    units.iter().find_map(|(unit, quantity)| {
        let number = text.strip_suffix(unit)?.trim();
        number.parse().ok().map(quantity)
    })
}

fn like(setting: Setting) -> &'static str {
    match setting {
        Setting::Length(_) => {
            "Write a length from 0 to 1000 mm with its unit, as '8 mm' or '0.25 in'"
        }
        Setting::Mass(_) => "Write a mass from 0 to 200 kg with its unit, as '5 kg' or '11 lb'",
        Setting::Cones(_) => "Write a number of cones from 0 to 14, as '1.5'",
        Setting::Count(_) => "Write a whole number from 1 to 100, as '4'",
        Setting::Several(_) => "Write a whole number from 0 to 100, as '3'",
        Setting::Times(_) => "Write a number from 0 to 100, as '1.5'",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_unique_and_every_rule_says_why() {
        let ids: std::collections::BTreeSet<_> = value::ALL.iter().map(|r| r.id).collect();
        assert_eq!(ids.len(), value::ALL.len());
        assert!(
            value::ALL
                .iter()
                .all(|r| !r.reason.is_empty() && !r.source.is_empty())
        );
    }

    #[test]
    fn overrides_are_read_with_their_unit_and_all_faults_are_told() {
        let texts = |pairs: &[(&str, &str)]| {
            pairs
                .iter()
                .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
                .collect()
        };
        let book =
            RuleBook::from_overrides(&texts(&[("gap-ware", "0.5 in")]), "studio.toml").unwrap();
        assert!((book.length(&value::gap_ware::RULE).to_mm() - 12.7).abs() < 1e-9);
        let own = [
            ("pile-mass", "11 lb"),
            ("pile-most", "6"),
            ("pile-flat", "0.25"),
        ];
        let book = RuleBook::from_overrides(&texts(&own), "studio.toml").unwrap();
        assert!((book.mass(&value::pile_mass::RULE).to_kg() - 4.99).abs() < 0.01);
        assert_eq!(book.count(&value::pile_most::RULE), 6);
        assert!((book.times(&value::pile_flat::RULE) - 0.25).abs() < 1e-12);
        let faults = RuleBook::from_overrides(
            &texts(&[
                ("gap-wear", "6 mm"),
                ("gap-ware", "6"),
                ("gap-lid", "-2 mm"),
                ("pile-mass", "5"),
                ("pile-most", "0"),
                ("pile-flat", "-1"),
            ]),
            "f",
        )
        .unwrap_err();
        assert_eq!(faults.len(), 6);
    }
}
