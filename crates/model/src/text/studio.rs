//! `studio.toml`: name, units, price of energy, hours, the studio's own rules.

use std::collections::BTreeMap;

use toml::de::DeValue;

use super::energy;
use super::hours;
use super::row::Row;
use super::spot::Page;
use super::units::Units;
use crate::hours::Hours;
use crate::tariff::Tariff;

/// What `studio.toml` says besides the units.
pub(super) struct Head {
    pub(super) name: String,
    pub(super) tariff: Tariff,
    pub(super) hours: Hours,
    pub(super) rule_overrides: BTreeMap<String, String>,
}

/// Reads the file. The units stand apart: the other files are read even when this one is broken.
pub(super) fn read(page: &Page<'_>) -> (Option<Head>, Units) {
    let Some(table) = page.table() else {
        return (None, Units::UNSURE);
    };
    let file = Row::whole(page, &table);
    file.only(&["name", "units", "energy", "hours", "rules"]);
    let units = units(&file).unwrap_or(Units::UNSURE);
    (head(&file), units)
}

fn units(file: &Row<'_, '_>) -> Option<Units> {
    let row = file.inner(
        "units",
        "Write [units] and below it length = \"mm\" or \"in\", mass = \"kg\" or \"lb\", temperature = \"C\" or \"F\"",
    )?;
    row.only(&["length", "mass", "temperature"]);
    let inches = row.word("length", &[("mm", false), ("in", true)]);
    let pounds = row.word("mass", &[("kg", false), ("lb", true)]);
    let fahrenheit = row.word("temperature", &[("C", false), ("F", true)]);
    Some(Units::new(inches?, pounds?, fahrenheit?))
}

pub(super) fn head(file: &Row<'_, '_>) -> Option<Head> {
    let (name, tariff) = (file.text("name"), energy::read(file));
    let (hours, rules) = (hours::read(file), rules(file));
    Some(Head {
        name: name?,
        tariff: tariff?,
        hours: hours?,
        rule_overrides: rules?,
    })
}

/// The studio's own rules, as typed: the rules crate knows their ids and checks them.
fn rules(file: &Row<'_, '_>) -> Option<BTreeMap<String, String>> {
    let Some(value) = file.find("rules") else {
        return Some(BTreeMap::new());
    };
    let remedy = "Write the value in quotes with its unit, as gap-ware = \"8 mm\"";
    let row = file.inner("rules", remedy)?;
    let DeValue::Table(table) = value else {
        return None;
    };
    let mut rules = BTreeMap::new();
    let mut whole = true;
    for (key, value) in table {
        let id: &str = key.get_ref();
        if let DeValue::String(text) = value.get_ref() {
            rules.insert(id.to_owned(), text.trim().to_owned());
        } else {
            whole = false;
            row.misfit(id, value.get_ref(), remedy);
        }
    }
    whole.then_some(rules)
}
