//! What was learnt of a kiln, as the book keeps it.

use std::collections::BTreeSet;

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::cone::Cone;
use crate::doubt::Band;
use crate::taught::Taught;

/// When the elements will be too weak, by the power that was found in each firing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Weakens {
    /// For firings to this cone, as the last one was.
    pub cone: Cone,
    /// Firings until the kiln no longer keeps the programme's times; nothing where that is further off than anybody plans.
    pub late: Band<Option<u32>>,
    /// Firings until it no longer reaches the cone.
    pub short: Band<Option<u32>>,
    /// Share of power lost with each firing, and its deviation.
    pub each: (f64, f64),
    /// Firings that this is drawn through.
    pub firings: u32,
}

/// What was learnt of one kiln. Every edition is a version of this record, so that there is a way back.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Lessons {
    /// Id of the kiln.
    pub id: String,
    /// Its name then.
    pub kiln: String,
    /// When it was worked out.
    pub at: Timestamp,
    /// Counts up each time.
    pub edition: u32,
    /// Plans use it.
    pub used: bool,
    /// Firings that somebody does not want learnt from.
    #[serde(default)]
    pub left_out: BTreeSet<String>,
    /// For plans; nothing when no firing could be learnt from.
    pub taught: Option<Taught>,
    /// When its elements will be too weak.
    #[serde(default)]
    pub weakens: Option<Weakens>,
    /// How often a relay switches in one of its firings, when logs tell what the controller asked for.
    #[serde(default)]
    pub switchings: Option<f64>,
    /// All of it with each firing that was looked at, as the heat model writes itself.
    pub whole: serde_json::Value,
}

impl Lessons {
    /// What plans use of it by now.
    pub fn in_use(&self) -> Option<&Taught> {
        self.taught.as_ref().filter(|_| self.used)
    }
}
