//! Firings followed while they go: their samples are read from the book as they come in, so that what is kept and what
//! is known are the same; a program that starts again reads them once more and knows as much as before.

mod ask;
mod couples;
mod notices;
mod off;
mod task;

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use glost_model::book::{Firing, FiringState};
use glost_store::Look;
use jiff::Timestamp;
use tokio::sync::watch;

pub use ask::ask_of;
pub use couples::hot_end;
pub use glost_feed::typed;
pub use glost_heat::Place;
pub use glost_heat::watch::{Alarm, Estimate, Stage, TierNow};

use crate::desk::{Desk, DeskError};

/// What is known of a firing by now.
#[derive(Debug, Clone, Default)]
pub struct Seen {
    /// Samples taken in.
    pub samples: u64,
    /// The estimate; nothing before the first sample that counts.
    pub estimate: Option<Arc<Estimate>>,
    /// Alarms that were on and are no longer.
    pub past: Vec<Alarm>,
    /// Why it cannot be followed.
    pub trouble: Option<String>,
    /// Nothing more will come.
    pub over: bool,
}

/// Everything that is followed. Cloning shares it.
#[derive(Debug, Clone)]
pub struct Follow {
    desk: Desk,
    clock: fn() -> Timestamp,
    all: Arc<Mutex<HashMap<String, watch::Receiver<Arc<Seen>>>>>,
}

impl Follow {
    /// Follows nothing yet.
    pub fn new(desk: Desk, clock: fn() -> Timestamp) -> Self {
        Self {
            desk,
            clock,
            all: Arc::default(),
        }
    }

    /// What is known of a firing that is on or cools, now and from now on. It is followed from here on, whether anybody
    /// looks or not.
    pub fn firing(&self, id: &str) -> watch::Receiver<Arc<Seen>> {
        let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = all.get(id).filter(|r| r.has_changed().is_ok()) {
            return known.clone();
        }
        let (tell, hear) = watch::channel(Arc::new(Seen::default()));
        all.insert(id.to_owned(), hear.clone());
        tokio::spawn(task::run(
            self.desk.clone(),
            self.clock,
            id.to_owned(),
            tell,
        ));
        hear
    }

    /// Follows every firing that is under way, and each that samples come for.
    ///
    /// # Errors
    /// Of the store.
    pub async fn begin(&self) -> Result<(), DeskError> {
        let under_way = Look {
            states: &[FiringState::Firing.key(), FiringState::Cooling.key()],
            ..Look::default()
        };
        let mut heard = self.desk.heard();
        for firing in self.desk.store.list::<Firing>(&under_way).await? {
            self.firing(&firing.body.id);
        }
        let follow = self.clone();
        tokio::spawn(async move {
            // Whoever fell behind misses no firing for long: each is looked at again by its own clock.
            loop {
                match heard.recv().await {
                    Ok(id) => drop(follow.firing(&id)),
                    Err(tokio::sync::broadcast::error::RecvError::Lagged(_)) => {}
                    Err(tokio::sync::broadcast::error::RecvError::Closed) => break,
                }
            }
        });
        Ok(())
    }
}
