//! The studio's desk: what people do with the book, a file a verb. Each verb asks whether the person may, checks what
//! was given, and changes the book in one turn.

pub mod account;
mod actor;
mod assemble;
pub mod audit;
mod away;
pub mod bench;
pub mod causes;
mod door;
mod error;
mod expect;
pub mod fire;
pub mod firing;
pub mod from_sheet;
pub mod hand_back;
pub mod lessons;
pub mod lists;
pub mod load;
pub mod log;
pub mod logs;
mod look_over;
pub mod lose;
mod mirror;
pub mod notice;
pub mod open;
mod own;
pub mod people;
pub mod propose;
pub mod readings;
mod remember;
mod report;
pub mod seed;
pub mod set_up;
mod short;
pub mod source;
pub mod stock;
pub mod stretches;
pub mod take_in;
mod undo;
pub mod upkeep;
pub mod verdict;
pub mod ware;
pub mod wishes;
mod words;
pub mod written;

use std::path::PathBuf;
use std::sync::Arc;

use glost_store::Store;

pub use actor::Actor;
pub use assemble::Given;
pub use door::{MOST_NAME, SESSION, SignedIn};
pub use error::DeskError;
pub use fire::{End, Start};
pub use firing::NewFiring;
pub use verdict::{Answer, Verdict};

use remember::Remembered;

/// The open studio. Cloning shares it.
#[derive(Debug, Clone)]
pub struct Desk {
    /// Its book.
    pub store: Store,
    /// Folder of the photos.
    pub photos: PathBuf,
    /// What loads are planned with, as of the last look.
    given: Remembered<i64, Given>,
    /// Names of all people by id, as of the latest turn.
    names: Remembered<i64, std::collections::BTreeMap<String, String>>,
    /// How much ware there is in each state, as of the latest turn.
    counts: Remembered<i64, std::collections::BTreeMap<String, u64>>,
    /// Upkeep of the kilns, as of the latest turn.
    cares: Remembered<i64, Vec<upkeep::Care>>,
    /// When waiting ware is expected back, as of some minutes ago.
    expected: Remembered<jiff::Timestamp, expect::Dates>,
    /// All firings and ware, as of the last look.
    mirror: mirror::Mirror,
    /// Faults by firing, as of the latest turn.
    faults: Remembered<i64, std::collections::BTreeMap<String, log::FaultCount>>,
    /// The report asked for last.
    report: Remembered<report::AsOf, crate::report::Report>,
    /// Tells which firing has new samples.
    heard: tokio::sync::broadcast::Sender<String>,
    /// Notices that nobody is on, as of the latest turn.
    notices: Remembered<i64, Vec<glost_model::book::Raised>>,
    /// Wakes the sender of notices.
    pub(crate) called: Arc<tokio::sync::Notify>,
}

impl Desk {
    /// Opens the studio of that store, with its photos in that folder.
    pub fn new(store: Store, photos: PathBuf) -> Self {
        Self {
            store,
            photos,
            given: Remembered::default(),
            names: Remembered::default(),
            counts: Remembered::default(),
            cares: Remembered::default(),
            expected: Remembered::default(),
            mirror: mirror::Mirror::default(),
            faults: Remembered::default(),
            report: Remembered::default(),
            heard: tokio::sync::broadcast::channel(64).0,
            notices: Remembered::default(),
            called: Arc::default(),
        }
    }
}
