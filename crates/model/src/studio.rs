//! A studio: everything that the planner is given.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::clay::{Clay, Glaze};
use crate::furniture::Furniture;
use crate::kiln::Kiln;
use crate::piece::Piece;
use crate::quantity::Money;

/// What a kilowatt hour costs, and in which currency.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Tariff {
    /// Code or sign shown with amounts.
    pub currency: String,
    /// Price of one kilowatt hour.
    pub per_kwh: f64,
}

impl Tariff {
    /// What this much energy costs.
    pub fn cost(&self, energy: crate::Energy) -> Money {
        Money::units(self.per_kwh * energy.to_kwh())
    }
}

/// How the studio likes its numbers shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
pub struct Shown {
    /// Temperatures in °F.
    pub fahrenheit: bool,
    /// Lengths in inches.
    pub inches: bool,
    /// Masses in pounds.
    pub pounds: bool,
}

impl Shown {
    /// A length as people here write it: `120 mm` or `4.7 in`.
    pub fn length(self, l: crate::Length) -> String {
        if self.inches {
            format!("{:.1} in", l.to_inches())
        } else {
            format!("{:.0} mm", l.to_mm())
        }
    }
    /// A mass: `1.2 kg` or `2.6 lb`.
    pub fn mass(self, m: crate::Mass) -> String {
        if self.pounds {
            format!("{:.1} lb", m.to_pounds())
        } else {
            format!("{:.1} kg", m.to_kg())
        }
    }
    /// A temperature: `1222 °C` or `2232 °F`.
    pub fn temperature(self, t: crate::Temperature) -> String {
        if self.fahrenheit {
            format!("{:.0} °F", t.to_f())
        } else {
            format!("{:.0} °C", t.to_c())
        }
    }
}

/// A studio with its ware, kilns, furniture, materials and rules of its own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Studio {
    /// Name.
    pub name: String,
    /// Kilns.
    pub kilns: Vec<Kiln>,
    /// Furniture, shared by the kilns.
    pub furniture: Furniture,
    /// Clays.
    pub clays: Vec<Clay>,
    /// Glazes.
    pub glazes: Vec<Glaze>,
    /// Ware that waits.
    pub pieces: Vec<Piece>,
    /// Price of energy.
    pub tariff: Tariff,
    /// Units people see.
    pub shown: Shown,
    /// Rule id → the studio's own value, as typed (the rules crate checks them).
    pub rule_overrides: BTreeMap<String, String>,
}

impl Studio {
    /// The kiln of that name.
    pub fn kiln(&self, name: &str) -> Option<&Kiln> {
        self.kilns.iter().find(|k| k.name == name)
    }
    /// The clay of that name.
    pub fn clay(&self, name: &str) -> Option<&Clay> {
        self.clays.iter().find(|c| c.name == name)
    }
    /// The glaze of that name.
    pub fn glaze(&self, name: &str) -> Option<&Glaze> {
        self.glazes.iter().find(|g| g.name == name)
    }
    /// The piece of that name.
    pub fn piece(&self, id: &str) -> Option<&Piece> {
        self.pieces.iter().find(|p| p.id == id)
    }
}
