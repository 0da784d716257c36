//! The studio's pages: who visits, what they may, and all that every page shares.

mod address;
mod asset;
pub mod call;
pub mod called;
mod clash;
pub mod fields;
mod frame;
pub mod guard;
pub mod held;
pub mod jobs;
mod limit;
mod links;
pub mod meter;
mod relearn;
mod routes;
mod sent;
mod serve;
mod tries;
mod trouble;
mod typed;
mod visit;

use std::sync::Arc;

use glost_studio::desk::Desk;
use glost_studio::follow::Follow;
use glost_studio::hear::{Hear, Logs, secrets};
use jiff::Timestamp;
use tokio::sync::watch;

pub use address::Address;
pub use clash::{Clash, Side, clash};
pub use frame::{Here, escaped, frame, own_path, plain_frame};
pub use jobs::Jobs;
pub use limit::Limits;
pub use links::Links;
pub use meter::Meter;
pub use routes::routes;
pub use sent::{Aside, Files, Form, Parts, Path, Query};
pub use serve::{AppError, serve_app};
pub use trouble::Trouble;
pub use typed::Typed;
pub use visit::{Visit, Visitor, cookie, zone_of};

/// What every page needs. Cloning shares it.
#[derive(Debug, Clone)]
pub struct App {
    /// The studio.
    pub desk: Desk,
    /// The time, from whoever started the program.
    pub clock: fn() -> Timestamp,
    /// Plans being made.
    pub jobs: Jobs,
    /// Firings being followed.
    pub follow: Follow,
    /// Kilns being heard.
    pub hear: Hear,
    /// Turns true when the program is told to stop, so that pages that listen let go.
    pub closing: Arc<watch::Sender<bool>>,
    /// How often something may be tried.
    pub limits: Limits,
    /// Logs that wait until somebody has looked them over.
    pub held: held::Held,
    /// What the program does, counted.
    pub meter: Meter,
    /// The invented studio: its page of entry tells who can sign in.
    pub demo: bool,
    /// Cookies only by HTTPS.
    pub secure: bool,
}

impl App {
    /// An app on that desk.
    pub fn new(desk: Desk, clock: fn() -> Timestamp) -> Self {
        Self {
            follow: Follow::new(desk.clone(), clock),
            hear: Hear::new(desk.clone(), clock, secrets, None),
            desk,
            clock,
            jobs: Jobs::default(),
            closing: Arc::new(watch::Sender::new(false)),
            limits: Limits::default(),
            held: held::Held::default(),
            meter: Meter::default(),
            demo: false,
            secure: false,
        }
    }

    /// Reads logs in that folder.
    pub fn read_logs_in(&mut self, logs: Logs) {
        self.hear = Hear::new(self.desk.clone(), self.clock, secrets, Some(logs));
    }

    /// The time.
    pub fn now(&self) -> Timestamp {
        (self.clock)()
    }
}
