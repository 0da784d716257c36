//! A source as what listens needs it, and as the book keeps it.

use glost_feed::layout::Layout;
use glost_feed::modbus::Controller;
use glost_feed::mqtt::{Broker, Login, Topic};
use glost_model::book::{Source, SourceKind};
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::desk::DeskError;
use crate::notify::{Secret, Secrets};

/// A source.
#[derive(Debug, Clone, PartialEq)]
pub enum Way {
    /// People write down what the display shows.
    Hand,
    /// A file.
    File(FileWay),
    /// A broker.
    Broker(BrokerWay),
    /// A controller.
    Controller(Controller),
}

/// A file in the folder of logs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct FileWay {
    /// Its name in that folder.
    pub file: String,
    /// How it is written.
    pub layout: Layout,
}

/// A broker, with its password by the name of a variable.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct BrokerWay {
    /// Name or address.
    pub host: String,
    /// Port.
    pub port: u16,
    /// Name to sign in with; empty for none.
    #[serde(default)]
    pub login: String,
    /// Variable with the password.
    #[serde(default)]
    pub secret: Option<String>,
    /// What is listened to.
    pub topics: Vec<Topic>,
}

/// The environment of the program.
pub fn secrets(name: &str) -> Option<String> {
    crate::notify::from_environment(name)
}

impl BrokerWay {
    /// With its password, under the name that the broker is to know the listener by.
    ///
    /// # Errors
    /// When the variable is not set.
    pub fn broker(&self, client: String, secrets: Secrets) -> Result<Broker, (String, String)> {
        let secret = Secret::maybe(self.secret.as_deref(), secrets)
            .map_err(|e| (e.what.clone(), e.remedy.clone()))?;
        let login = (!self.login.is_empty()).then(|| Login {
            user: self.login.clone(),
            password: secret.as_ref().map_or("", Secret::value).to_owned(),
        });
        Ok(Broker {
            host: self.host.clone(),
            port: self.port,
            client,
            login,
            topics: self.topics.clone(),
        })
    }
}

impl Way {
    /// What kind it is.
    pub const fn kind(&self) -> SourceKind {
        match self {
            Self::Hand => SourceKind::Hand,
            Self::File(_) => SourceKind::File,
            Self::Broker(_) => SourceKind::Broker,
            Self::Controller(_) => SourceKind::Controller,
        }
    }

    /// That of a record.
    ///
    /// # Errors
    /// When the record was made by another version of the program and cannot be read by this one.
    pub fn of(source: &Source) -> Result<Self, DeskError> {
        fn read<T: DeserializeOwned>(how: &Value) -> Result<T, DeskError> {
            serde_json::from_value(how.clone()).map_err(|e| {
                DeskError::cannot(
                    format!("how this kiln is heard cannot be read: {e}"),
                    "Set its source up again",
                )
            })
        }
        Ok(match source.kind {
            SourceKind::Hand => Self::Hand,
            SourceKind::File => Self::File(read(&source.how)?),
            SourceKind::Broker => Self::Broker(read(&source.how)?),
            SourceKind::Controller => Self::Controller(read(&source.how)?),
        })
    }

    /// As the book keeps it.
    ///
    /// # Errors
    /// When it cannot be written out.
    pub fn kept(&self, kiln: &str, rehearsal: Option<u32>) -> Result<Source, DeskError> {
        let how = match self {
            Self::Hand => Ok(Value::Null),
            Self::File(way) => serde_json::to_value(way),
            Self::Broker(way) => serde_json::to_value(way),
            Self::Controller(way) => serde_json::to_value(way),
        };
        Ok(Source {
            kiln: kiln.to_owned(),
            kind: self.kind(),
            rehearsal,
            how: how.map_err(|e| DeskError::Machine(e.to_string()))?,
        })
    }

    /// In words.
    pub fn words(&self) -> String {
        match self {
            Self::Hand => "what people read off the display".to_owned(),
            Self::File(way) => format!("the file {}", way.file),
            Self::Broker(way) => format!("the broker {}:{}", way.host, way.port),
            Self::Controller(way) => format!("the controller at {}:{}", way.host, way.port),
        }
    }

    /// Topics that it listens to.
    pub fn topics(&self) -> Vec<String> {
        match self {
            Self::Broker(way) => way.topics.iter().map(|t| t.topic.clone()).collect(),
            _ => Vec::new(),
        }
    }
}
