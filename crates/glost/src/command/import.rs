//! `glost import`

use std::path::{Path, PathBuf};
use std::process::ExitCode;

use glost_studio::desk::Desk;
use glost_studio::keep::{JSON_NAME, import_json};
use glost_studio::open_folder;

use super::place::{Place, way_in, words};
use super::serve::runtime;
use crate::clock;
use crate::say::{Trouble, answer};

/// Bring an export, or a studio's folder of six text files, into a new store.
#[derive(Debug, clap::Args)]
pub struct Import {
    /// The JSON file of an export, its folder, or a studio's folder.
    from: PathBuf,
    #[command(flatten)]
    place: Place,
}

impl Import {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        runtime()?.block_on(async {
            let new = self.place.is_new_file();
            let desk = self.place.open().await?;
            let done = bring_in(&desk, &self.from).await;
            let way = match &done {
                Ok(_) => way_in(&desk).await,
                Err(_) => Ok(None),
            };
            desk.store.close().await;
            if done.is_err() && new {
                self.place.forget();
            }
            answer(&done?);
            if let Some(path) = way? {
                answer(&format!(
                    "Nobody can sign in yet. Once it is served, the technician opens this path of it within 14 days: {path}"
                ));
            }
            Ok(())
        })?;
        Ok(ExitCode::SUCCESS)
    }
}

async fn bring_in(desk: &Desk, from: &Path) -> Result<String, Trouble> {
    if from.is_file() || from.join(JSON_NAME).is_file() {
        let done = import_json(desk, from).await.map_err(words)?;
        return Ok(format!("{} rows are in the book now", done.rows));
    }
    bring_folder(desk, from).await
}

/// Brings a studio's folder in.
pub async fn bring_folder(desk: &Desk, folder: &Path) -> Result<String, Trouble> {
    let (studio, _) = open_folder(folder).map_err(Trouble::Input)?;
    desk.bring_in(&studio, &[], clock::instant())
        .await
        .map_err(words)?;
    Ok(format!(
        "{} pieces, {} kilns, {} clays and {} glazes are in the book now",
        studio.pieces.len(),
        studio.kilns.len(),
        studio.clays.len(),
        studio.glazes.len()
    ))
}
