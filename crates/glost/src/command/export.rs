//! `glost export`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_studio::keep::export_to;

use super::place::{Place, words};
use super::serve::runtime;
use crate::say::{Trouble, answer};

/// Write everything into a folder for other programs: tables, one JSON file with all history, and the photos.
#[derive(Debug, clap::Args)]
pub struct Export {
    #[command(flatten)]
    place: Place,
    /// Folder to write into.
    #[arg(long)]
    out: PathBuf,
}

impl Export {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        runtime()?.block_on(async {
            let desk = self.place.open_there().await?;
            let done = export_to(&desk, &self.out).await;
            desk.store.close().await;
            let done = done.map_err(words)?;
            answer(&format!(
                "{}: {} rows, {} tables, {} photos",
                self.out.display(),
                done.rows,
                done.sheets,
                done.photos
            ));
            Ok(())
        })?;
        Ok(ExitCode::SUCCESS)
    }
}
