//! What can be the matter with a source itself.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use glost_model::fault::Fault;

/// Something about a source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Trouble {
    /// When it was noticed.
    pub at: Timestamp,
    /// What it is.
    #[serde(flatten)]
    pub kind: TroubleKind,
}

/// What it is about the source. A lost signal does not say that the kiln is off.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "key", rename_all = "kebab-case")]
pub enum TroubleKind {
    /// The source is connected, for the first time or again.
    Listening,
    /// No sample came for too long.
    Silent {
        /// Since when.
        since: Timestamp,
    },
    /// Samples come again after silence.
    HeardAgain,
    /// The broker or controller cannot be reached; tried again and again.
    Unreachable {
        /// In words of the system.
        why: String,
    },
    /// A row, message or answer could not be read.
    Misread {
        /// Why.
        fault: Fault,
    },
    /// So many more could not be read.
    FurtherMisread {
        /// How many.
        count: u64,
    },
    /// A broker handed out a message kept from earlier that does not tell its time.
    Stale {
        /// Where.
        topic: String,
    },
    /// There is no file at the path.
    NoFile,
    /// The log goes on in a new file.
    Rotated,
    /// The file was emptied or written anew, and is read from its beginning.
    BegunAnew,
    /// The file that was read before is gone.
    Lost,
    /// The file cannot be read.
    Barred {
        /// In words of the system.
        why: String,
    },
}

impl TroubleKind {
    /// What is the matter, and what to do.
    pub fn words(&self) -> (String, &'static str) {
        const KILN: &str = "Look at the kiln itself: a lost signal does not mean that it is off";
        match self {
            Self::Listening => ("the source is connected".to_owned(), "Nothing"),
            Self::Silent { .. } => ("no reading comes".to_owned(), KILN),
            Self::HeardAgain => ("readings come again".to_owned(), "Nothing"),
            Self::Unreachable { why } => (
                format!("the source cannot be reached: {why}"),
                "Look at the kiln itself, then see that address and port are right, and that the other side runs",
            ),
            Self::Misread { fault } => (
                format!("a reading could not be read: {}. {}", fault.what, fault.remedy),
                "Correct how the source is read, or what it writes",
            ),
            Self::FurtherMisread { count } => (
                format!("{count} more readings could not be read"),
                "Correct how the source is read, or what it writes",
            ),
            Self::Stale { topic } => (
                format!("the broker had an old message at {topic}, which was not taken for a new one"),
                "Nothing; to be rid of it, let messages be sent without the mark 'retain'",
            ),
            Self::NoFile => (
                "the file is not there".to_owned(),
                "See that the logger runs and that the path is right; it is looked for again each second",
            ),
            Self::Rotated => ("the log goes on in a new file".to_owned(), "Nothing"),
            Self::BegunAnew => (
                "the file was emptied or written anew; rows from just before may be missing".to_owned(),
                "Let the logger rename its full file instead of emptying it",
            ),
            Self::Lost => (
                "the file that was read before is gone; what was written into it since then is missing"
                    .to_owned(),
                "Keep the old file in the same folder when it is renamed; read it as a whole log if it still exists",
            ),
            Self::Barred { why } => (
                format!("the file cannot be read: {why}"),
                "See that the program may read the file and its folder",
            ),
        }
    }
}
