//! What a studio keeps, in SQLite beside the program or in PostgreSQL, by one SQL text.
//!
//! Every thing is a [`Record`]: a body in JSON with a version, and beside it the few keys by which lists are made.
//! Everything that changes goes through a [`Turn`], which writes down who did what, checks versions so that nobody's
//! edit is lost, and can be undone. Nothing is deleted: what is put away is archived.

mod audit;
mod backup;
mod door;
mod error;
mod export;
mod find;
mod history;
mod kinds;
mod open;
mod paper;
mod photo;
mod reading;
mod record;
mod tables;
mod turn;

pub use audit::TurnLook;
pub use backup::{Checked, Restored, check_backup};
pub use door::{Login, Pass, PassUse, digest, new_code, new_secret};
pub use error::StoreError;
pub use find::{Body, Look, Order};
pub use history::{ChangeRow, TurnRow};
pub use kinds::KINDS;
pub use open::{Dialect, Store};
pub use photo::PhotoRow;
pub use reading::{Mark, ReadingRow, ReadingSpan};
pub use record::{Kept, Keys, Record};
pub use turn::{By, Turn};
