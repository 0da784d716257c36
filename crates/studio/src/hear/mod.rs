//! Kilns heard while they fire: from a file, a broker or the controller into the book. Everything here listens; nothing
//! can write to where it listens. Readings are in the book together with the place up to which the source was read, so
//! that a killed program loses none and takes none twice.

pub mod form;
mod logs;
mod state;
mod take;
mod task;
mod trial;
mod way;

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use glost_model::book::{Firing, FiringState, SourceKind};
use glost_store::Look;
use jiff::Timestamp;
use tokio::task::JoinHandle;

pub use glost_feed::layout::Guess;
pub use logs::Logs;
pub use state::{Said, State};
pub use trial::{Tried, try_out};
pub use way::{BrokerWay, FileWay, Way, secrets};

use crate::desk::{Desk, DeskError};
use crate::notify::Secrets;
use state::Shared;

/// The book is asked so often whether anything changed.
const AGAIN: Duration = Duration::from_secs(1);

/// All kilns that are heard. Cloning shares it.
#[derive(Debug, Clone)]
pub struct Hear {
    desk: Desk,
    clock: fn() -> Timestamp,
    secrets: Secrets,
    logs: Option<Logs>,
    /// By firing.
    all: Arc<Mutex<HashMap<String, Heard>>>,
}

/// One that is heard.
#[derive(Debug)]
struct Heard {
    kiln: String,
    version: i64,
    state: Shared,
    task: JoinHandle<()>,
}

impl Drop for Heard {
    fn drop(&mut self) {
        self.task.abort();
    }
}

impl Hear {
    /// Hears nothing yet. Files are read in the folder `logs` and nowhere else.
    pub fn new(desk: Desk, clock: fn() -> Timestamp, secrets: Secrets, logs: Option<Logs>) -> Self {
        Self {
            desk,
            clock,
            secrets,
            logs,
            all: Arc::default(),
        }
    }

    /// The folder of files.
    pub fn logs(&self) -> Option<&Logs> {
        self.logs.as_ref()
    }

    /// Where secrets are found.
    pub fn secrets(&self) -> Secrets {
        self.secrets
    }

    /// How it stands with the source of a firing; nothing when it is read by hand or not under way.
    pub fn state(&self, firing: &str) -> Option<State> {
        let all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        all.get(firing).map(|h| h.state.now())
    }

    /// Hears every firing that is under way from now on, until the task is ended.
    pub fn begin(&self) -> JoinHandle<()> {
        let hear = self.clone();
        tokio::spawn(async move {
            let mut known = None;
            loop {
                match hear.look(known).await {
                    Ok(turn) => known = Some(turn),
                    Err(e) => {
                        tracing::warn!(error = %e, "which kilns are to be heard is not known just now");
                    }
                }
                tokio::time::sleep(AGAIN).await;
            }
        })
    }

    /// Lets go of all.
    pub fn end(&self) {
        let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        all.clear();
    }

    /// Begins what is to be heard, ends what is not any more. Answers the turn that this is as of.
    async fn look(&self, known: Option<i64>) -> Result<i64, DeskError> {
        let turn = self.desk.store.latest_turn().await?;
        let broken = {
            let all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
            all.values().any(|h| h.task.is_finished())
        };
        if known == Some(turn) && !broken {
            return Ok(turn);
        }
        let under_way = Look {
            states: &[FiringState::Firing.key(), FiringState::Cooling.key()],
            ..Look::default()
        };
        let firings = self.desk.store.list::<Firing>(&under_way).await?;
        let mut wanted = Vec::new();
        for firing in firings {
            let Some(kiln) = self.desk.kiln_of(&firing.body.kiln).await? else {
                continue;
            };
            let source = self.desk.source(&kiln).await?;
            if source.body.kind != SourceKind::Hand {
                wanted.push((firing.body, source));
            }
        }
        let mut all = self.all.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|id, heard| {
            !heard.task.is_finished()
                && wanted.iter().any(|(firing, source)| {
                    firing.id == *id
                        && source.version == heard.version
                        && source.body.kiln == heard.kiln
                })
        });
        for (firing, source) in wanted {
            if all.contains_key(&firing.id) {
                continue;
            }
            let state = Shared::new(&source.body);
            let id = firing.id.clone();
            let heard = Heard {
                kiln: source.body.kiln.clone(),
                version: source.version,
                state: state.clone(),
                task: tokio::spawn(task::run(self.clone(), firing, source, state)),
            };
            all.insert(id, heard);
        }
        Ok(turn)
    }
}
