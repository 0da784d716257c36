//! What every source tells, and how.

use std::sync::Arc;

use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use tokio::sync::mpsc::Sender;

use glost_model::Span;
use glost_model::fault::Fault;
use glost_model::readings::Sample;

use crate::clean::{Guard, Remark};
use crate::tail::{Place, Told};
use crate::trouble::{Trouble, TroubleKind};

/// A sample with what the guard says of it. What was withheld is absent from the sample and named in a remark.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Heard {
    /// What was read.
    pub sample: Sample,
    /// What is odd about it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub remarks: Vec<Remark>,
}

/// What comes from a source, in order.
#[derive(Debug, Clone, PartialEq)]
pub enum Event {
    /// A sample.
    Heard(Heard),
    /// Something about the source itself.
    Trouble(Trouble),
    /// Where a restart goes on: everything before is heard. Keep it in the same turn as the samples before it.
    Place(Place),
}

/// Nobody listens any more.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("nobody listens to the source any more")]
pub struct Closed;

/// Tells what time it is.
pub type Clock = Arc<dyn Fn() -> Timestamp + Send + Sync>;

/// Most misread rows that are told one by one, until ten minutes later.
const MOST_MISREAD: u64 = 20;
const AGAIN: Span = Span::minutes(10.0);

/// Passes on what a source has, through the guard, and notices when it has nothing.
pub struct Teller {
    to: Sender<Event>,
    clock: Clock,
    guard: Guard,
    /// What is earlier is of no firing.
    since: Option<Timestamp>,
    /// Longer than this without a sample is silence.
    silence: Span,
    heard: Timestamp,
    silent: bool,
    reachable: Option<bool>,
    misread: u64,
    counted_from: Timestamp,
}

impl Teller {
    /// Tells to a channel. A source that has no sample for `silence` is told to be silent.
    pub fn new(to: Sender<Event>, clock: Clock, guard: Guard, silence: Span) -> Self {
        let now = clock();
        Self {
            to,
            clock,
            guard,
            since: None,
            silence,
            heard: now,
            silent: false,
            reachable: None,
            misread: 0,
            counted_from: now,
        }
    }

    /// Samples from before this moment pass the guard by, so that the last firing in a log is no reason to doubt this one.
    #[must_use]
    pub fn since(mut self, moment: Timestamp) -> Self {
        self.since = Some(moment);
        self
    }

    pub(crate) fn now(&self) -> Timestamp {
        (self.clock)()
    }

    pub(crate) async fn send(&self, event: Event) -> Result<(), Closed> {
        self.to.send(event).await.map_err(|_e| Closed)
    }

    pub(crate) async fn trouble(&self, kind: TroubleKind) -> Result<(), Closed> {
        let at = self.now();
        self.send(Event::Trouble(Trouble { at, kind })).await
    }

    /// The source can be reached; told when it could not be before.
    pub(crate) async fn reached(&mut self) -> Result<(), Closed> {
        if self.reachable.replace(true) == Some(true) {
            return Ok(());
        }
        self.trouble(TroubleKind::Listening).await
    }

    /// The source cannot be reached; told once.
    pub(crate) async fn unreachable(&mut self, why: String) -> Result<(), Closed> {
        if self.reachable.replace(false) == Some(false) {
            return Ok(());
        }
        self.trouble(TroubleKind::Unreachable { why }).await
    }

    pub(crate) async fn sample(&mut self, sample: Sample) -> Result<(), Closed> {
        self.heard = self.now();
        if std::mem::take(&mut self.silent) {
            self.trouble(TroubleKind::HeardAgain).await?;
        }
        let early = self.since.is_some_and(|since| sample.at < since);
        let heard = if early {
            let remarks = Vec::new();
            Heard { sample, remarks }
        } else {
            self.guard.hear(sample)
        };
        self.send(Event::Heard(heard)).await
    }

    pub(crate) async fn misread(&mut self, fault: Fault) -> Result<(), Closed> {
        self.misread += 1;
        if self.misread > MOST_MISREAD {
            return Ok(());
        }
        self.trouble(TroubleKind::Misread { fault }).await
    }

    pub(crate) async fn told(&mut self, told: Told) -> Result<(), Closed> {
        match told {
            Told::Row(sample) => self.sample(sample).await,
            Told::Misread(fault) => self.misread(fault).await,
            Told::NoFile => self.trouble(TroubleKind::NoFile).await,
            Told::Rotated => self.trouble(TroubleKind::Rotated).await,
            Told::BegunAnew => self.trouble(TroubleKind::BegunAnew).await,
            Told::Lost => self.trouble(TroubleKind::Lost).await,
            Told::Barred(why) => self.trouble(TroubleKind::Barred { why }).await,
        }
    }

    /// Says when nothing was heard for too long, and how many rows could not be read beside those that were told.
    pub(crate) async fn listen_for_silence(&mut self) -> Result<(), Closed> {
        if self.to.is_closed() {
            return Err(Closed);
        }
        let now = self.now();
        let since = |then: Timestamp| Span::s(now.duration_since(then).as_secs_f64());
        if since(self.counted_from) >= AGAIN {
            self.counted_from = now;
            let further = std::mem::take(&mut self.misread).saturating_sub(MOST_MISREAD);
            if further > 0 {
                self.trouble(TroubleKind::FurtherMisread { count: further })
                    .await?;
            }
        }
        if since(self.heard) >= self.silence && !std::mem::replace(&mut self.silent, true) {
            let since = self.heard;
            return self.trouble(TroubleKind::Silent { since }).await;
        }
        Ok(())
    }
}
