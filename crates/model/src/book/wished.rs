//! What people wish of a firing beyond its cone.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::firing::{Aim, DropHold};

/// When it is to be so far, where that is wished in place of a start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum By {
    /// The programme is over by then.
    End(Timestamp),
    /// The kiln may be opened by then.
    Open(Timestamp),
}

impl By {
    /// The moment.
    pub fn at(self) -> Timestamp {
        match self {
            Self::End(at) | Self::Open(at) => at,
        }
    }
}

/// What is wished of a firing. It stays with the firing, so that each new plan of it goes by it.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Wished {
    /// What it should be best at.
    #[serde(default)]
    pub aim: Aim,
    /// A fall and hold after the peak.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drop_hold: Option<DropHold>,
    /// By when. The start follows from it with each plan.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<By>,
    /// Why no start keeps that moment, by the last plan; empty when one does.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub missed: String,
}

impl Wished {
    /// Nothing is wished: as soon as ware and kiln allow.
    pub fn is_plain(&self) -> bool {
        *self == Self::default()
    }
}
