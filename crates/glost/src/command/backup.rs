//! `glost backup` and `glost restore`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_store::Store;
use glost_studio::desk::Desk;

use super::serve::{photos_beside, runtime};
use crate::say::{Trouble, answer};

/// Write everything that a studio keeps into one file, also while it is served.
#[derive(Debug, clap::Args)]
pub struct Backup {
    /// Where the book is: a file, or postgres://user@host/name.
    #[arg(long, env = "GLOST_STORE", default_value = "glost.db")]
    store: String,
    /// Folder of the photos; beside the file of the book if not given.
    #[arg(long, env = "GLOST_PHOTOS")]
    photos: Option<PathBuf>,
    /// The file to write; it must not be there yet.
    #[arg(long)]
    out: PathBuf,
}

/// Bring a backup back into a new store, of either kind.
#[derive(Debug, clap::Args)]
pub struct Restore {
    /// A file that `glost backup` wrote.
    file: PathBuf,
    /// Where the book is to be: a new file, or an empty database.
    #[arg(long, env = "GLOST_STORE", default_value = "glost.db")]
    store: String,
    /// Folder of the photos; beside the file of the book if not given.
    #[arg(long, env = "GLOST_PHOTOS")]
    photos: Option<PathBuf>,
}

async fn desk(store: &str, photos: Option<PathBuf>) -> Result<Desk, Trouble> {
    let photos = photos.unwrap_or_else(|| photos_beside(store));
    let store = Store::open(store)
        .await
        .map_err(|e| Trouble::Words(e.to_string()))?;
    Ok(Desk::new(store, photos))
}

impl Backup {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        if !self.store.contains("://") && !std::path::Path::new(&self.store).exists() {
            return Err(Trouble::Words(format!(
                "there is no book at {}. Name it with --store",
                self.store
            )));
        }
        let held = runtime()?.block_on(async {
            let desk = desk(&self.store, self.photos).await?;
            desk.backup(&self.out)
                .await
                .map_err(|e| Trouble::Words(e.to_string()))
        })?;
        answer(&format!(
            "{}: {} rows of the book, {} files of photos",
            self.out.display(),
            held.rows,
            held.photos
        ));
        Ok(ExitCode::SUCCESS)
    }
}

impl Restore {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let held = runtime()?.block_on(async {
            let desk = desk(&self.store, self.photos).await?;
            desk.restore(&self.file)
                .await
                .map_err(|e| Trouble::Words(e.to_string()))
        })?;
        answer(&format!(
            "Restored: {} rows of the book, {} files of photos",
            held.rows, held.photos
        ));
        Ok(ExitCode::SUCCESS)
    }
}
