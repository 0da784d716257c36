//! Ware on its way through the studio.

use jiff::Timestamp;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

pub use super::fault::{Fault, FaultKind};
use crate::piece::{Piece, Stage};

/// Where a piece is on its way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// Written down by its maker; nobody has looked it over.
    Made,
    /// Not dry yet.
    Drying,
    /// Looked over; waits for a firing.
    Waiting,
    /// In a load that was accepted.
    Planned,
    /// In the kiln.
    InKiln,
    /// Bisque fired; its maker may glaze it.
    Bisqued,
    /// Glaze fired; its maker may fetch it.
    Ready,
    /// Its maker has it.
    HandedBack,
    /// Something must be done to it first.
    NeedsAttention,
    /// Not fired here.
    Refused,
    /// Broken, burst or stuck.
    Accident,
    /// Never fetched.
    Abandoned,
}

impl State {
    /// All states, in the order of the way.
    pub const ALL: [Self; 12] = [
        Self::Made,
        Self::Drying,
        Self::Waiting,
        Self::Planned,
        Self::InKiln,
        Self::Bisqued,
        Self::Ready,
        Self::HandedBack,
        Self::NeedsAttention,
        Self::Refused,
        Self::Accident,
        Self::Abandoned,
    ];

    /// Key in lists and files.
    pub fn key(self) -> &'static str {
        match self {
            Self::Made => "made",
            Self::Drying => "drying",
            Self::Waiting => "waiting",
            Self::Planned => "planned",
            Self::InKiln => "in-kiln",
            Self::Bisqued => "bisqued",
            Self::Ready => "ready",
            Self::HandedBack => "handed-back",
            Self::NeedsAttention => "needs-attention",
            Self::Refused => "refused",
            Self::Accident => "accident",
            Self::Abandoned => "abandoned",
        }
    }

    /// The state of that key.
    pub fn of_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|s| s.key() == key)
    }

    /// In words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Made => "made, not looked over yet",
            Self::Drying => "drying",
            Self::Waiting => "waits for a firing",
            Self::Planned => "in a planned firing",
            Self::InKiln => "in the kiln",
            Self::Bisqued => "bisqued, to be fetched and glazed",
            Self::Ready => "fired, to be fetched",
            Self::HandedBack => "handed back",
            Self::NeedsAttention => "needs attention",
            Self::Refused => "refused",
            Self::Accident => "came to harm",
            Self::Abandoned => "never fetched",
        }
    }

    /// Where it can go from here by a person's hand. What a firing does to it is no choice.
    pub fn next(self) -> &'static [Self] {
        use State::{
            Abandoned, Accident, Bisqued, Drying, HandedBack, InKiln, Made, NeedsAttention,
            Planned, Ready, Refused, Waiting,
        };
        match self {
            Made | Drying => &[
                Waiting,
                Drying,
                NeedsAttention,
                Refused,
                Accident,
                HandedBack,
            ],
            Waiting => &[NeedsAttention, Drying, Refused, Accident, HandedBack],
            NeedsAttention => &[Waiting, Drying, Refused, HandedBack, Accident],
            // Its firing lets go of it: taken out at the kiln, called off, or emptied.
            Planned | InKiln => &[],
            Bisqued => &[HandedBack, Waiting, Accident, Abandoned],
            Ready => &[HandedBack, Waiting, Accident, Abandoned],
            HandedBack => &[Made, Waiting],
            Refused => &[Waiting, HandedBack, Abandoned],
            Accident => &[HandedBack, Ready, Abandoned],
            Abandoned => &[HandedBack],
        }
    }

    /// Whether it is still in the studio's care.
    pub fn here(self) -> bool {
        !matches!(self, Self::HandedBack | Self::Abandoned)
    }
}

/// A place in a firing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Spot {
    /// Firing.
    pub firing: String,
    /// Tier.
    pub tier: String,
}

/// One piece of ware as the book has it. Its code is the id of its [`Piece`].
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Ware {
    /// What the planner knows of it. Its `maker` is the owner's name.
    pub piece: Piece,
    /// Person that it belongs to.
    pub owner: String,
    /// Who wrote it down.
    pub by: String,
    /// Where it is on its way.
    pub state: State,
    /// Why it needs attention or is refused, or what its maker wants known.
    #[serde(default)]
    pub note: String,
    /// The firing that it is in, or was in last.
    #[serde(default)]
    pub firing: Option<String>,
    /// Where it stood in each firing so far, the last one last.
    #[serde(default)]
    pub stood: Vec<Spot>,
    /// What was seen on it after firings.
    #[serde(default)]
    pub faults: Vec<Fault>,
    /// Since when it is in its state.
    pub since: Timestamp,
    /// Until when it may be fetched.
    #[serde(default)]
    pub fetch_by: Option<Date>,
}

impl Ware {
    /// Its code.
    pub fn code(&self) -> &str {
        &self.piece.id
    }

    /// Moves it on.
    pub fn set(&mut self, state: State, at: Timestamp) {
        self.state = state;
        self.since = at;
    }

    /// What a firing makes of it when it comes out unharmed.
    pub fn after_firing(&self) -> State {
        match self.piece.stage {
            Stage::Greenware => State::Bisqued,
            Stage::Glazed => State::Ready,
        }
    }
}
