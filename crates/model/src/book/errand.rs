//! One message on its way: a notice by one way to one place. Kept before it is sent, so that a crash loses nothing.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

/// By what way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum WayKind {
    /// HTTP to a program of the studio.
    Webhook,
    /// MQTT to a broker.
    Mqtt,
    /// E-mail to a person.
    Mail,
}

impl WayKind {
    /// All.
    pub const ALL: [Self; 3] = [Self::Webhook, Self::Mqtt, Self::Mail];
    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Webhook => "webhook",
            Self::Mqtt => "MQTT",
            Self::Mail => "e-mail",
        }
    }
}

/// How far an errand has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ErrandState {
    /// Still to be sent.
    Waiting,
    /// Sent.
    Sent,
    /// Not sent within a day.
    GivenUp,
    /// No longer needed: it waited for quiet hours to end, and somebody was on it by then.
    Spared,
}

impl ErrandState {
    /// Key in lists.
    pub fn key(self) -> &'static str {
        match self {
            Self::Waiting => "waiting",
            Self::Sent => "sent",
            Self::GivenUp => "given-up",
            Self::Spared => "spared",
        }
    }
}

/// A time that it was tried.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Try {
    /// When.
    pub at: Timestamp,
    /// Why it failed; nothing when it did not.
    pub trouble: Option<String>,
}

/// A notice by one way to one place.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Errand {
    /// Id: that of the notice with a number behind it.
    pub id: String,
    /// Id of the notice.
    pub notice: String,
    /// By what way.
    pub way: WayKind,
    /// Person who gets it; empty for a program.
    #[serde(default)]
    pub person: String,
    /// When the notice was raised.
    pub raised: Timestamp,
    /// How far it has come.
    pub state: ErrandState,
    /// Not to be tried before.
    pub next: Timestamp,
    /// Times it was tried.
    pub tried: u32,
    /// The latest of them.
    #[serde(default)]
    pub tries: Vec<Try>,
}

/// So many tries are remembered.
const REMEMBERED: usize = 6;

impl Errand {
    /// Notes a try.
    pub fn note(&mut self, at: Timestamp, trouble: Option<String>) {
        self.tried += 1;
        self.tries.push(Try { at, trouble });
        let over = self.tries.len().saturating_sub(REMEMBERED);
        self.tries.drain(..over);
    }
}
