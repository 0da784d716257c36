//! Keep the book safe and take it elsewhere: backups, exports, imports.

mod backup;
mod export;
mod flat;
mod packed;

pub use backup::{BackedUp, back_up, check, restore};
pub use export::{Exported, JSON_NAME, export_to, import_json, sheet, sheets};
pub use flat::flat_csv;

use crate::desk::DeskError;

/// A file that cannot be read or written.
pub(crate) fn disk(what: &str, path: &std::path::Path, e: &std::io::Error) -> DeskError {
    DeskError::cannot(
        format!("cannot {what} {}: {e}", path.display()),
        "Check the place, that there is room, and that you may write there",
    )
}
