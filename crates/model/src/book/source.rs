//! Where the readings of a kiln come from.

use serde::{Deserialize, Serialize};
use serde_json::Value;

/// Kinds of sources.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum SourceKind {
    /// People read the display and write it down.
    #[default]
    Hand,
    /// A file that a logger writes.
    File,
    /// A broker of messages.
    Broker,
    /// The controller itself, asked for its registers.
    Controller,
}

impl SourceKind {
    /// Every one.
    pub const ALL: [Self; 4] = [Self::Hand, Self::File, Self::Broker, Self::Controller];

    /// Short name.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Hand => "hand",
            Self::File => "file",
            Self::Broker => "broker",
            Self::Controller => "controller",
        }
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Hand => "By hand",
            Self::File => "A file that a logger writes",
            Self::Broker => "A broker (MQTT)",
            Self::Controller => "The controller (Modbus TCP)",
        }
    }

    /// The kind of that name.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|k| k.key() == key)
    }
}

/// Where the readings of one kiln come from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Source {
    /// Id of the kiln.
    pub kiln: String,
    /// What kind.
    pub kind: SourceKind,
    /// It is a rehearsal: what is read goes on so many times as fast as a kiln, and so its hours run ahead of the clock.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rehearsal: Option<u32>,
    /// How it is read, as what listens has it; the book does not look into it. No secret: their variables are named.
    #[serde(default)]
    pub how: Value,
}

impl Source {
    /// That of a kiln for which nothing was set.
    pub fn by_hand(kiln: &str) -> Self {
        Self {
            kiln: kiln.to_owned(),
            kind: SourceKind::Hand,
            rehearsal: None,
            how: Value::Null,
        }
    }
}
