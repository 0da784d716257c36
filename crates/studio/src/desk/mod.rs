//! The studio's desk: what people do with the book, a file a verb. Each verb asks whether the person may, checks what
//! was given, and changes the book in one turn.

pub mod account;
mod actor;
mod assemble;
pub mod bench;
mod door;
mod error;
mod expect;
pub mod fire;
pub mod firing;
pub mod hand_back;
pub mod load;
pub mod open;
pub mod people;
pub mod propose;
pub mod seed;
pub mod set_up;
pub mod stock;
pub mod take_in;
pub mod log;
mod undo;
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

/// The open studio. Cloning shares it.
#[derive(Debug, Clone)]
pub struct Desk {
    /// Its book.
    pub store: Store,
    /// Folder of the photos.
    pub photos: PathBuf,
    /// What loads are planned with, as of the last look.
    given: Arc<Mutex<Option<(i64, Arc<Given>)>>>,
    /// When waiting ware is expected back, as of some minutes ago.
    expected: Arc<Mutex<Option<(jiff::Timestamp, Arc<expect::Dates>)>>>,
}

impl Desk {
    /// Opens the studio of that store, with its photos in that folder.
    pub fn new(store: Store, photos: PathBuf) -> Self {
        Self {
            store,
            photos,
            given: Arc::default(),
            expected: Arc::default(),
        }
    }
}
