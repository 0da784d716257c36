//! How people are told that a kiln needs them. Notices are kept in the book before they are sent
//! ([`Desk::raise`](crate::desk::Desk::raise)); [`sender`] sends what waits, by each [`Way`] for itself. A message may
//! come twice, after a crash between sending and noting it: both bear the same id.
//!
//! A notice that does not come does not mean that all is well.

mod http;
pub mod limits;
mod mail;
mod message;
mod mqtt;
pub mod recipients;
mod secret;
pub mod sender;
mod trial;
mod webhook;

use std::pin::Pin;

pub use mail::{MailWay, letter};
pub use message::Message;
pub use mqtt::{MqttWay, listens};
pub use secret::{Secret, Secrets, from_environment};
pub use trial::Tried;
pub use webhook::{SIGNATURE, WebhookWay, signature};

/// A way by which people are told.
pub trait Way: Send + Sync {
    /// Tells it; `Ok` once whoever takes it has said so.
    fn tell<'a>(&'a self, message: &'a Message) -> Telling<'a>;
}

/// Telling under way.
pub type Telling<'a> = Pin<Box<dyn Future<Output = Result<(), NotTold>> + Send + 'a>>;

/// Why somebody was not told, without secrets and without what addresses hold.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{what}. {remedy}")]
pub struct NotTold {
    /// What stands in the way.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

impl NotTold {
    /// Something stands in the way.
    pub fn new(what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            remedy: remedy.into(),
        }
    }
}
