//! What a studio is set to.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::charge::Scheme;
use crate::hours::Hours;
use crate::shown::Shown;
use crate::tariff::Tariff;

/// The studio's name, units, prices, hours and rules.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Settings {
    /// Name.
    pub name: String,
    /// Units.
    pub shown: Shown,
    /// Price of energy.
    pub tariff: Tariff,
    /// When somebody is there.
    pub hours: Hours,
    /// Rule id → the studio's own value.
    pub rule_overrides: BTreeMap<String, String>,
    /// Days that fired ware is kept for its maker.
    pub keep_days: u16,
    /// How ware is charged.
    #[serde(default)]
    pub scheme: Scheme,
    /// How people are told that a kiln needs them.
    #[serde(default)]
    pub ways: super::Ways,
    /// Width of the posts.
    pub post_section: crate::Length,
}

impl Settings {
    /// Id of the only record of its kind.
    pub const ID: &'static str = "studio";
}
