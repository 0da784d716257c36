//! How it stands with a source, for the page of the firing.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use glost_model::book::{Source, SourceKind};
use jiff::Timestamp;

/// So many of what was odd are shown.
const ODD: usize = 5;

/// Something about a source: what is the matter, and what to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// When it was noticed.
    pub at: Timestamp,
    /// What.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

/// How it stands with a source.
#[derive(Debug, Clone, Default)]
pub struct State {
    /// What kind it is.
    pub kind: SourceKind,
    /// What it is, in words.
    pub words: String,
    /// See [`Source::rehearsal`].
    pub rehearsal: Option<u32>,
    /// Readings that came since the program began.
    pub taken: u64,
    /// The last one is of this moment.
    pub last: Option<Timestamp>,
    /// Rows that were of before the firing.
    pub before: u64,
    /// What is the matter now.
    pub trouble: Option<Said>,
    /// What was odd lately, the latest first.
    pub odd: VecDeque<Said>,
}

/// A state that its task writes and pages read.
#[derive(Debug, Clone, Default)]
pub struct Shared(Arc<Mutex<State>>);

impl Shared {
    pub fn new(source: &Source) -> Self {
        Self(Arc::new(Mutex::new(State {
            kind: source.kind,
            words: source.kind.words().to_owned(),
            rehearsal: source.rehearsal,
            ..State::default()
        })))
    }

    pub fn now(&self) -> State {
        self.0
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    pub fn change(&self, with: impl FnOnce(&mut State)) {
        with(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner));
    }
}

impl State {
    /// Notes something odd; the same is there once.
    pub fn note(&mut self, said: Said) {
        self.odd
            .retain(|o| (&o.what, &o.remedy) != (&said.what, &said.remedy));
        self.odd.push_front(said);
        self.odd.truncate(ODD);
    }
}
