//! Stretches of a log that somebody does not believe.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// Why readings are not to be believed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Unsound {
    /// The sensor hung out of its place, or did not reach the chamber.
    SensorSlipped,
    /// The lid or door stood open.
    LidOpened,
    /// Somebody was at the sensor or the controller.
    Touched,
    /// As told in words.
    Other,
}

impl Unsound {
    /// All, in the order in which they are asked for.
    pub const ALL: [Self; 4] = [
        Self::SensorSlipped,
        Self::LidOpened,
        Self::Touched,
        Self::Other,
    ];

    /// Key in forms and files.
    pub const fn key(self) -> &'static str {
        match self {
            Self::SensorSlipped => "sensor-slipped",
            Self::LidOpened => "lid-opened",
            Self::Touched => "touched",
            Self::Other => "other",
        }
    }

    /// The reason of that key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|u| u.key() == key)
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::SensorSlipped => "the sensor slipped",
            Self::LidOpened => "the lid was opened",
            Self::Touched => "somebody touched it",
            Self::Other => "something else",
        }
    }
}

/// Readings of a firing from one moment to another that are not to be believed. They stay in the log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct BadStretch {
    /// Id.
    pub id: String,
    /// Firing.
    pub firing: String,
    /// From this moment on.
    pub from: Timestamp,
    /// To this one; both are left out.
    pub to: Timestamp,
    /// Why.
    pub why: Unsound,
    /// In words.
    #[serde(default)]
    pub words: String,
    /// Who said so.
    pub who: String,
    /// When.
    pub at: Timestamp,
}

impl BadStretch {
    /// Whether a moment is in it.
    pub fn holds(&self, at: Timestamp) -> bool {
        (self.from..=self.to).contains(&at)
    }

    /// Why, in words, as `the lid was opened: for a look at the cones`.
    pub fn because(&self) -> String {
        match (self.why, self.words.as_str()) {
            (why, "") => why.words().to_owned(),
            (Unsound::Other, words) => words.to_owned(),
            (why, words) => format!("{}: {words}", why.words()),
        }
    }
}

/// Whether any stretch holds a moment.
pub fn any_holds(stretches: &[BadStretch], at: Timestamp) -> bool {
    stretches.iter().any(|s| s.holds(at))
}
