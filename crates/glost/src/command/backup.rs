//! `glost backup`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_studio::keep::back_up;

use super::place::{Place, words};
use super::serve::runtime;
use crate::clock;
use crate::say::{Trouble, answer, remark};

/// Write the book and its photos into one file, while the studio is served. It is read back and checked before it
/// takes its name.
#[derive(Debug, clap::Args)]
pub struct Backup {
    #[command(flatten)]
    place: Place,
    /// File to write; one of that name is replaced once the new one is whole.
    #[arg(long)]
    out: PathBuf,
}

impl Backup {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        runtime()?.block_on(async {
            let desk = self.place.open_there().await?;
            let done = back_up(&desk.store, &desk.photos, &self.out, clock::instant()).await;
            desk.store.close().await;
            let done = done.map_err(words)?;
            for id in &done.missing {
                remark(&format!(
                    "the file of photo {id} is missing in {}; the backup is without it",
                    desk.photos.display()
                ));
            }
            answer(&format!(
                "{}: {} rows, {} photos, {:.1} MB; read back and whole",
                self.out.display(),
                done.rows,
                done.photos,
                done.bytes as f64 / 1e6
            ));
            Ok(())
        })?;
        Ok(ExitCode::SUCCESS)
    }
}
