//! The studio's desk: what people do with the book, a file a verb. Each verb asks whether the person may, checks what
//! was given, and changes the book in one turn.

pub mod account;
mod actor;
mod assemble;
pub mod audit;
pub mod bench;
mod door;
mod error;
mod expect;
pub mod fire;
pub mod firing;
pub mod hand_back;
pub mod lists;
pub mod load;
pub mod log;
pub mod lose;
pub mod open;
pub mod people;
pub mod propose;
pub mod seed;
pub mod set_up;
pub mod stock;
pub mod take_in;
mod undo;
pub mod upkeep;
pub mod verdict;
pub mod ware;

use std::path::PathBuf;
use std::sync::{Arc, Mutex};

use glost_store::Store;

pub use actor::Actor;
pub use assemble::Given;
pub use door::{MOST_NAME, SESSION, SignedIn};
pub use error::DeskError;
pub use firing::NewFiring;
pub use verdict::{Answer, Verdict};

/// Something that was worked out, and as of when; shared.
type Remembered<W, T> = Arc<Mutex<Option<(W, Arc<T>)>>>;

/// The open studio. Cloning shares it.
#[derive(Debug, Clone)]
pub struct Desk {
    /// Its book.
    pub store: Store,
    /// Folder of the photos.
    pub photos: PathBuf,
    /// What loads are planned with, as of the last look.
    given: Remembered<i64, Given>,
    /// How much ware there is in each state, as of the latest turn.
    counts: Remembered<i64, std::collections::BTreeMap<String, u64>>,
    /// Upkeep of the kilns, as of the latest turn.
    cares: Remembered<i64, Vec<upkeep::Care>>,
    /// When waiting ware is expected back, as of some minutes ago.
    expected: Remembered<jiff::Timestamp, expect::Dates>,
}

impl Desk {
    /// Opens the studio of that store, with its photos in that folder.
    pub fn new(store: Store, photos: PathBuf) -> Self {
        Self {
            store,
            photos,
            given: Arc::default(),
            counts: Arc::default(),
            cares: Arc::default(),
            expected: Arc::default(),
        }
    }
}
