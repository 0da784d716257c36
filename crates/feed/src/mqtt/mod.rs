//! Readings from an MQTT broker. Glost subscribes and never publishes: nothing here has a way to.
//!
//! Connections are not encrypted. Where the broker is not on the studio's own network, let one there (any broker can be
//! a bridge) fetch the topics over TLS.

mod link;
mod messages;

use serde::{Deserialize, Serialize};

use crate::layout::{Column, Holds, Layout, Time};

pub use link::listen;
pub use messages::{Got, Messages};

/// A broker, and the topics of one kiln.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Broker {
    /// Name or address.
    pub host: String,
    /// Usually 1883.
    pub port: u16,
    /// Name under which the broker knows this listener; a broker cuts off the first of two with the same.
    pub client: String,
    /// Where the broker wants it.
    #[serde(default)]
    pub login: Option<Login>,
    /// What is listened to.
    pub topics: Vec<Topic>,
}

/// Who listens, for brokers that ask.
#[derive(Clone, PartialEq, Serialize, Deserialize)]
pub struct Login {
    /// Name.
    pub user: String,
    /// Password. It never stands in a log.
    pub password: String,
}

impl std::fmt::Debug for Login {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Login")
            .field("user", &self.user)
            .finish_non_exhaustive()
    }
}

/// A topic and what its messages hold.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Topic {
    /// Its full name, without wildcards: another kiln's messages must not be taken for this one's.
    pub topic: String,
    /// What its messages hold.
    pub payload: Payload,
}

/// What a message holds.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "as", rename_all = "snake_case")]
pub enum Payload {
    /// A number alone.
    Number {
        /// What it is.
        holds: Holds,
    },
    /// An object of JSON. Columns and times count in `pointers`.
    Json {
        /// Where its values stand, as `/kiln/temp` (RFC 6901).
        pointers: Vec<String>,
        /// Which of them is the time.
        time: Time,
        /// What the others hold.
        columns: Vec<Column>,
    },
    /// A line of CSV, without titles.
    Line {
        /// How it is written.
        layout: Box<Layout>,
    },
}
