//! `glost restore`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_studio::keep::{check, restore};

use super::place::{Place, words};
use super::serve::runtime;
use crate::say::{Trouble, answer};

/// Bring a backup back into a new store, of either kind: all of it, or nothing.
#[derive(Debug, clap::Args)]
pub struct Restore {
    /// File that `glost backup` wrote.
    file: PathBuf,
    #[command(flatten)]
    place: Place,
}

impl Restore {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        runtime()?.block_on(async {
            // A damaged file makes no store.
            check(&self.file).map_err(words)?;
            let new = self.place.is_new_file();
            let desk = self.place.open().await?;
            let done = restore(&self.file, &desk.store, &desk.photos).await;
            desk.store.close().await;
            if done.is_err() && new {
                self.place.forget();
            }
            let done = done.map_err(words)?;
            answer(&format!(
                "{} rows and {} photos are back. Serve them with: glost serve --store {}",
                done.rows,
                done.photos.len(),
                if self.place.is_server() {
                    "PLACE"
                } else {
                    &self.place.store
                }
            ));
            Ok(())
        })?;
        Ok(ExitCode::SUCCESS)
    }
}
