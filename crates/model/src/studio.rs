//! A studio: everything that the planner is given.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::clay::{Clay, Glaze};
use crate::furniture::Furniture;
use crate::hours::Hours;
use crate::kiln::Kiln;
use crate::piece::Piece;
use crate::shown::Shown;
use crate::tariff::Tariff;

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
    /// When somebody is there.
    #[serde(default)]
    pub hours: Hours,
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
