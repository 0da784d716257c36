//! Change a load by hand, one piece at a time, with the judge's answer after each step.

mod bench;
mod carry_out;
mod foreseen;
mod group;
mod patch;
mod settle;

use glost_check::Breach;
use glost_model::piece::PieceId;
use glost_model::{Angle, Length};
use glost_placing::{ChangeError, FootingError};
use serde::{Deserialize, Serialize};

pub use bench::{Bench, HISTORY, Step};
pub use foreseen::{Foreseen, Line};
pub use patch::Patch;

/// One thing done by hand. In JSON: `{"do": "move", "piece": "L001", "tier": "2", "x_m": 0.1, "y_m": 0}`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
pub enum Edit {
    /// A piece, with all that stands on or in it, to a place on a tier. It leaves what it stood on.
    Move {
        /// Which.
        piece: PieceId,
        /// Name of the tier.
        tier: String,
        /// Middle of the piece, m.
        x_m: Length,
        /// Middle of the piece, m.
        y_m: Length,
        /// Turned counter-clockwise by this, rad; as it was when it is missing.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        rotation_rad: Option<Angle>,
    },
    /// Two pieces change places, each with all that stands on or in it and on its own supports.
    Swap {
        /// One.
        a: PieceId,
        /// The other.
        b: PieceId,
    },
    /// A piece, with all that stands on or in it, waits for another firing.
    TakeOut {
        /// Which.
        piece: PieceId,
    },
    /// A piece that stays out comes in, on the supports that the rules ask for.
    PutIn {
        /// Which.
        piece: PieceId,
        /// Name of the tier.
        tier: String,
        /// Middle of the piece, m.
        x_m: Length,
        /// Middle of the piece, m.
        y_m: Length,
    },
    /// A piece stays where it is, whatever else is changed.
    Lock {
        /// Which.
        piece: PieceId,
    },
    /// It may move again.
    Unlock {
        /// Which.
        piece: PieceId,
    },
}

impl Edit {
    /// In words, as after `Undo:`.
    pub fn words(&self) -> String {
        match self {
            Self::Move { piece, tier, .. } => format!("move {piece} on tier {tier}"),
            Self::Swap { a, b } => format!("swap {a} with {b}"),
            Self::TakeOut { piece } => format!("take {piece} out"),
            Self::PutIn { piece, tier, .. } => format!("put {piece} in on tier {tier}"),
            Self::Lock { piece } => format!("lock {piece}"),
            Self::Unlock { piece } => format!("unlock {piece}"),
        }
    }

    /// Whether it leaves all ware where it is.
    pub fn only_locks(&self) -> bool {
        matches!(self, Self::Lock { .. } | Self::Unlock { .. })
    }
}

/// What the judge says after a step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Answer {
    /// Rules that the load breaks; an empty list accepts it.
    pub breaches: Vec<Breach>,
    /// Names of the tiers whose ware changed.
    pub tiers: Vec<String>,
    /// What was changed beyond what was asked, a line a piece.
    pub said: Vec<String>,
}

/// Why a step cannot be taken. The load is then as it was.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditFault {
    /// No such piece.
    #[error("the studio has no piece '{0}': check its slip")]
    NoPiece(PieceId),
    /// No firing can be foreseen for the load as it is.
    #[error("the firing of this load cannot be foreseen: {0}")]
    NotForeseen(String),
    /// No such tier.
    #[error("the load has no tier '{asked}' for {piece}; it has {known}: name one of them")]
    NoTier {
        /// The piece.
        piece: PieceId,
        /// As asked.
        asked: String,
        /// Those there are.
        known: String,
    },
    /// It is not in the load.
    #[error("{0} is not in this load: put it in on a tier first")]
    NotPlanned(PieceId),
    /// It is in the load already.
    #[error("{piece} stands on tier {tier} already: move it instead")]
    AlreadyIn {
        /// The piece.
        piece: PieceId,
        /// Where it stands.
        tier: String,
    },
    /// It may not move.
    #[error("{piece} is locked on tier {tier}: unlock it first")]
    Locked {
        /// The piece.
        piece: PieceId,
        /// Where it stands.
        tier: String,
    },
    /// What stands on it may not move.
    #[error("{piece} carries {rider}, which is locked on tier {tier}: unlock {rider} first")]
    CarriesLocked {
        /// The piece.
        piece: PieceId,
        /// What stands on or in it.
        rider: PieceId,
        /// Where both stand.
        tier: String,
    },
    /// It cannot be swapped from there.
    #[error(
        "{piece} stands {on} on tier {tier}: move it to a place of its own on a shelf before it is swapped"
    )]
    StandsOn {
        /// The piece.
        piece: PieceId,
        /// What it stands on, in words.
        on: String,
        /// Where both stand.
        tier: String,
    },
    /// Swapped with itself.
    #[error("{0} cannot change places with itself: choose another piece")]
    WithItself(PieceId),
    /// A place that is none.
    #[error("{piece} cannot stand there on tier {tier}: give a place within 10 m of the middle")]
    NoPlace {
        /// The piece.
        piece: PieceId,
        /// The tier.
        tier: String,
    },
    /// It finds no supports.
    #[error("on tier {tier}: {why}")]
    Footing {
        /// The tier.
        tier: String,
        /// Which piece, what it lacks, and what to do.
        why: FootingError,
    },
    /// Nothing was done yet.
    #[error("nothing to undo: the load is as it was opened")]
    NothingToUndo,
    /// Nothing was undone.
    #[error("nothing to redo: the last step was not an undo")]
    NothingToRedo,
    /// Nothing is wrong.
    #[error("nothing to settle: the judge accepts the load")]
    NothingToSettle,
    /// What is wrong cannot be put right around what is locked.
    #[error("{0}: unlock a piece that stands in the way, or take one out by hand")]
    CannotSettle(String),
    /// The plan cannot be taken up.
    #[error("{0}")]
    Change(#[from] ChangeError),
    /// The plan cannot be judged at all.
    #[error("the load cannot be changed, since it is not sound: {0}")]
    Unsound(String),
}
