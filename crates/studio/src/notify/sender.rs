//! Sends what waits. Every message is tried by itself: one that fails, or a server that never answers, holds no other
//! up.

use std::collections::BTreeSet;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use glost_model::book::{Errand, ErrandState, Person, Raised, Standing, WayKind};
use glost_store::{By, Look};
use jiff::Timestamp;
use tokio::task::JoinSet;

use super::{MailWay, Message, MqttWay, NotTold, Secrets, Way, WebhookWay, limits};
use crate::desk::notice::PROGRAM;
use crate::desk::{Desk, DeskError, Given};

/// One message may take so long.
pub const PATIENCE: Duration = Duration::from_secs(40);
/// Without a new notice, what waits is looked at this often.
const OFTEN: Duration = Duration::from_secs(5);
/// So many are looked at, those that are due first before the others.
const MOST: u32 = 200;

type Ids = Arc<Mutex<BTreeSet<String>>>;

fn locked(ids: &Ids) -> MutexGuard<'_, BTreeSet<String>> {
    ids.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Sends what waits. Cloning shares what is under way.
#[derive(Debug, Clone)]
pub struct Sender {
    desk: Desk,
    clock: fn() -> Timestamp,
    secrets: Secrets,
    /// Ids of the errands under way.
    busy: Ids,
    /// Those that were sent while the book could not be written: they are noted, not sent again.
    told: Ids,
}

impl Sender {
    /// A sender for that studio.
    pub fn new(desk: Desk, clock: fn() -> Timestamp, secrets: Secrets) -> Self {
        Self {
            desk,
            clock,
            secrets,
            busy: Arc::default(),
            told: Arc::default(),
        }
    }

    /// Sends for as long as the program runs. Dropped at any moment, it loses nothing: the next one goes on.
    pub async fn run(self) {
        let mut under_way = JoinSet::new();
        loop {
            match self.due((self.clock)()).await {
                Ok(due) => {
                    for errand in due {
                        let sender = self.clone();
                        under_way.spawn(async move { sender.send(errand).await });
                    }
                }
                Err(e) => tracing::error!(error = %e, "notices that wait cannot be read"),
            }
            tokio::select! {
                () = self.desk.called.notified() => {}
                () = tokio::time::sleep(OFTEN) => {}
                Some(_) = under_way.join_next() => {}
            }
        }
    }

    /// Sends all that is due now, each for itself, and waits until all are done or have failed. Answers how many were
    /// tried.
    ///
    /// # Errors
    /// Of the store.
    pub async fn round(&self) -> Result<usize, DeskError> {
        let due = self.due((self.clock)()).await?;
        let mut under_way = JoinSet::new();
        let tried = due.len();
        for errand in due {
            let sender = self.clone();
            under_way.spawn(async move { sender.send(errand).await });
        }
        while under_way.join_next().await.is_some() {}
        Ok(tried)
    }

    /// What is due and not under way; from now on it is.
    async fn due(&self, now: Timestamp) -> Result<Vec<Errand>, DeskError> {
        let look = Look {
            states: &[ErrandState::Waiting.key()],
            most: MOST,
            ..Look::default()
        };
        let all = self.desk.store.list::<Errand>(&look).await?;
        let mut busy = locked(&self.busy);
        Ok(all
            .into_iter()
            .map(|k| k.body)
            .filter(|e| e.next <= now && busy.insert(e.id.clone()))
            .collect())
    }

    /// Sends one and notes how it went.
    async fn send(&self, errand: Errand) {
        let id = errand.id.clone();
        if let Err(e) = self.try_one(errand).await {
            tracing::error!(error = %e, errand = id, "what became of a notice cannot be noted");
        }
        locked(&self.busy).remove(&id);
    }

    async fn try_one(&self, errand: Errand) -> Result<(), DeskError> {
        if locked(&self.told).contains(&errand.id) {
            return self.sent(&errand.id).await;
        }
        let given = self.desk.given().await?;
        let Some(raised) = self.desk.store.find::<Raised>(&errand.notice).await? else {
            return self
                .note(
                    &errand.id,
                    ErrandState::GivenUp,
                    Some("its notice is gone".into()),
                )
                .await;
        };
        // Held back for quiet hours, and no longer needed.
        let held = errand.tried == 0 && errand.next > errand.raised;
        if held && raised.body.standing != Standing::Open {
            return self.note(&errand.id, ErrandState::Spared, None).await;
        }
        let message = Message::of(&raised.body, &given.settings, (self.clock)());
        let told = match self.way(&errand, &given).await? {
            Ok(way) => match tokio::time::timeout(PATIENCE, way.tell(&message)).await {
                Ok(told) => told,
                Err(_) => Err(NotTold::new(
                    format!("no answer within {} s", PATIENCE.as_secs()),
                    "See that the server runs",
                )),
            },
            Err(e) => Err(e),
        };
        match told {
            Ok(()) => {
                locked(&self.told).insert(errand.id.clone());
                self.sent(&errand.id).await
            }
            Err(e) => {
                tracing::warn!(error = %e, errand = errand.id, way = errand.way.words(), "a notice could not be told");
                let tried_for = (self.clock)().duration_since(errand.raised);
                let state = if tried_for < limits::TRIED_FOR {
                    ErrandState::Waiting
                } else {
                    ErrandState::GivenUp
                };
                self.note(&errand.id, state, Some(e.to_string())).await
            }
        }
    }

    async fn sent(&self, id: &str) -> Result<(), DeskError> {
        self.note(id, ErrandState::Sent, None).await?;
        locked(&self.told).remove(id);
        Ok(())
    }

    /// Writes down how it went, in a turn of its own.
    async fn note(
        &self,
        id: &str,
        state: ErrandState,
        trouble: Option<String>,
    ) -> Result<(), DeskError> {
        let at = (self.clock)();
        let by = By { who: PROGRAM, at };
        let verb = match state {
            ErrandState::Sent => format!("send notice {id}"),
            ErrandState::Waiting => format!("try to send notice {id}"),
            ErrandState::GivenUp => format!("give up sending notice {id}"),
            ErrandState::Spared => format!("spare notice {id}"),
        };
        let mut turn = self.desk.store.turn(by, &verb).await?;
        let kept = turn.get::<Errand>(id).await?;
        let mut errand = kept.body;
        if state != ErrandState::Spared {
            errand.note(at, trouble);
        }
        errand.state = state;
        if state == ErrandState::Waiting {
            let wait = limits::wait(errand.tried);
            errand.next = at.checked_add(wait).unwrap_or(Timestamp::MAX);
        }
        turn.put(&errand, kept.version).await?;
        turn.commit().await?;
        Ok(())
    }

    /// The way of an errand, as the studio has set it now.
    async fn way(
        &self,
        errand: &Errand,
        given: &Given,
    ) -> Result<Result<Box<dyn Way>, NotTold>, DeskError> {
        let to = match errand.way {
            WayKind::Mail => self.desk.store.find::<Person>(&errand.person).await?,
            WayKind::Webhook | WayKind::Mqtt => None,
        };
        let to = to.filter(|k| k.archived.is_none()).map(|k| k.body.reach);
        Ok(way_of(
            errand.way,
            given,
            to.as_deref().unwrap_or(""),
            self.secrets,
        ))
    }
}

/// A way as the studio has set it.
///
/// # Errors
/// When it is not set any more, or wrongly.
pub(super) fn way_of(
    kind: WayKind,
    given: &Given,
    to: &str,
    secrets: Secrets,
) -> Result<Box<dyn Way>, NotTold> {
    let ways = &given.settings.ways;
    let none = || {
        NotTold::new(
            format!("the studio has no {} set", kind.words()),
            "Set it on the page of the studio",
        )
    };
    Ok(match kind {
        WayKind::Webhook => {
            let set = ways.webhook.as_ref().ok_or_else(none)?;
            Box::new(WebhookWay::new(set, secrets)?)
        }
        WayKind::Mqtt => {
            let set = ways.mqtt.as_ref().ok_or_else(none)?;
            Box::new(MqttWay::new(set, &given.feed_topics(), secrets)?)
        }
        WayKind::Mail => {
            let set = ways.mail.as_ref().ok_or_else(none)?;
            Box::new(MailWay::new(set, to.trim(), secrets)?)
        }
    })
}
