//! What was learnt of a kiln, as the book keeps it.

use std::collections::{BTreeMap, BTreeSet};

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
    /// Every firing that was looked at, with what it was then: its log, cones, meter and marks. One that is otherwise
    /// now is looked at again.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub seen: BTreeMap<String, String>,
    /// An edition that is kept and not in force.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub held: Option<Box<Held>>,
}

/// An edition that nobody asked for and that foretells worse than the one in force: people decide.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Held {
    /// Why, in a sentence.
    pub why: String,
    /// The edition.
    pub lessons: Lessons,
}

/// How a kiln is learnt from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Learning {
    /// Id of the kiln.
    pub kiln: String,
    /// Its name then.
    pub name: String,
    /// It is learnt anew by itself after each firing.
    pub after_firings: bool,
}

impl Learning {
    /// That of a kiln for which nothing was set.
    pub fn usual(kiln: &str, name: &str) -> Self {
        Self {
            kiln: kiln.to_owned(),
            name: name.to_owned(),
            after_firings: true,
        }
    }
}

impl Lessons {
    /// Of a kiln of which no edition is in force yet.
    pub fn none_yet(id: &str, kiln: &str, at: Timestamp) -> Self {
        Self {
            id: id.to_owned(),
            kiln: kiln.to_owned(),
            at,
            edition: 0,
            used: true,
            left_out: BTreeSet::new(),
            taught: None,
            weakens: None,
            switchings: None,
            whole: serde_json::Value::Null,
            seen: BTreeMap::new(),
            held: None,
        }
    }

    /// What plans use of it by now.
    pub fn in_use(&self) -> Option<&Taught> {
        self.taught.as_ref().filter(|_| self.used)
    }
}
