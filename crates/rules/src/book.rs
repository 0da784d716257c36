//! The studio's rule book: defaults with its own numbers laid over them.

use std::collections::BTreeMap;

use glost_model::Length;
use glost_model::fault::Fault;

use crate::{Rule, Setting, value};

/// Every number rule with the value in force.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct RuleBook {
    own: BTreeMap<&'static str, Setting>,
}

impl RuleBook {
    /// Lays a studio's own numbers over the defaults. A length is written `8 mm` or `0.25 in`,
    /// a number of cones `1.5`.
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
            Setting::Cones(_) => Length::ZERO,
        }
    }

    /// The cones that a rule is set to; nothing for a rule that is a length.
    pub fn cones(&self, rule: &Rule) -> f64 {
        match self.setting(rule) {
            Setting::Cones(c) => c,
            Setting::Length(_) => 0.0,
        }
    }
}

fn read(like: Setting, text: &str) -> Option<Setting> {
    let text = text.trim();
    let sane = |v: f64, most: f64| (v.is_finite() && (0.0..=most).contains(&v)).then_some(v);
    match like {
        Setting::Cones(_) => sane(text.parse().ok()?, 14.0).map(Setting::Cones),
        Setting::Length(_) => {
            let (number, unit): (&str, fn(f64) -> Length) = if let Some(n) = text.strip_suffix("mm")
            {
                (n, Length::mm)
            } else {
                (text.strip_suffix("in")?, Length::inches)
            };
            let length = unit(number.trim().parse().ok()?);
            sane(length.to_m(), 1.0).map(|m| Setting::Length(Length::m(m)))
        }
    }
}

fn like(setting: Setting) -> &'static str {
    match setting {
        Setting::Length(_) => {
            "Write a length from 0 to 1000 mm with its unit, as '8 mm' or '0.25 in'"
        }
        Setting::Cones(_) => "Write a number of cones from 0 to 14, as '1.5'",
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
        let faults = RuleBook::from_overrides(
            &texts(&[
                ("gap-wear", "6 mm"),
                ("gap-ware", "6"),
                ("gap-lid", "-2 mm"),
            ]),
            "f",
        )
        .unwrap_err();
        assert_eq!(faults.len(), 3);
    }
}
