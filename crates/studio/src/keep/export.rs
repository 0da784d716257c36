//! Everything in files that other programs read.

use std::fs;
use std::path::Path;

use glost_model::book::Ware;
use glost_model::piece::Piece;
use glost_model::text::pieces_csv;
use glost_sheets::harmless;
use glost_store::{KINDS, Look, Restored};

use super::disk;
use super::flat::flat_csv;
use crate::desk::{Desk, DeskError};
use crate::write_out::{OutFile, write_out};

/// Name of the one file that can be brought in again.
pub const JSON_NAME: &str = "glost.json";
/// Ware in the columns of a studio's folder, in the studio's units.
const PIECES: &str = "pieces.csv";

/// What was exported.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Exported {
    /// Rows of the JSON file.
    pub rows: u64,
    /// Files beside it, photos aside.
    pub sheets: usize,
    /// Photos.
    pub photos: usize,
}

/// Names of the tables: one a kind, and the ware as in a studio's folder.
pub fn sheets() -> Vec<String> {
    let mut all: Vec<String> = KINDS.iter().map(|k| format!("{k}.csv")).collect();
    all.push(PIECES.to_owned());
    all
}

/// A table by its name; nothing for a name that there is not.
///
/// # Errors
/// Of the store.
pub async fn sheet(desk: &Desk, name: &str) -> Result<Option<String>, DeskError> {
    if name == PIECES {
        let given = desk.given().await?;
        let all = desk.store.list::<Ware>(&Look::default()).await?;
        let pieces: Vec<_> = all
            .into_iter()
            .map(|k| k.body)
            .filter(|w| w.state.here())
            .map(|w| harmless_piece(w.piece))
            .collect();
        return Ok(Some(pieces_csv(&pieces, given.studio.shown)));
    }
    let kind = name
        .strip_suffix(".csv")
        .and_then(|k| KINDS.into_iter().find(|kind| *kind == k));
    match kind {
        Some(kind) => Ok(Some(flat_csv(&desk.store.bodies(kind).await?))),
        None => Ok(None),
    }
}

/// A piece whose words no spreadsheet takes for a formula. Taken in again they keep the apostrophe, in sight.
fn harmless_piece(piece: Piece) -> Piece {
    Piece {
        id: harmless(&piece.id),
        what: harmless(&piece.what),
        maker: harmless(&piece.maker),
        clay: harmless(&piece.clay),
        glazes: piece.glazes.iter().map(|g| harmless(g)).collect(),
        group: piece.group.as_deref().map(harmless),
        ..piece
    }
}

/// Writes everything into a folder: a table a kind, one JSON file, and the photos in a folder of their own.
///
/// # Errors
/// Of the store or the disk.
pub async fn export_to(desk: &Desk, folder: &Path) -> Result<Exported, DeskError> {
    let mut json = Vec::new();
    let rows = desk.store.export(&mut json).await?;
    let mut files = vec![OutFile {
        name: JSON_NAME.to_owned(),
        bytes: json,
    }];
    for name in sheets() {
        if let Some(text) = sheet(desk, &name).await? {
            files.push(OutFile {
                name,
                bytes: text.into_bytes(),
            });
        }
    }
    let to = folder.join("photos");
    let mut photos = 0;
    for photo in desk.store.all_photos().await? {
        for end in [".jpg", ".small.jpg"] {
            let name = format!("{}{end}", photo.id);
            let from = desk.photos.join(&name);
            if !from.exists() {
                continue;
            }
            fs::create_dir_all(&to).map_err(|e| disk("write", &to, &e))?;
            let to = to.join(&name);
            fs::copy(&from, &to).map_err(|e| disk("write", &to, &e))?;
        }
        photos += 1;
    }
    write_out(folder, &files).map_err(|e| {
        DeskError::cannot(
            format!("cannot write {}: {}", e.path.display(), e.source),
            "Choose another folder with --out, or make room",
        )
    })?;
    Ok(Exported {
        rows,
        sheets: files.len() - 1,
        photos,
    })
}

/// Brings an export into an empty store: the JSON file, or its folder with the photos.
///
/// # Errors
/// When it is no whole export, or the store is not empty.
pub async fn import_json(desk: &Desk, place: &Path) -> Result<Restored, DeskError> {
    let (file, photos) = if place.is_dir() {
        (place.join(JSON_NAME), Some(place.join("photos")))
    } else {
        (place.to_owned(), None)
    };
    let text = fs::read_to_string(&file).map_err(|e| disk("read", &file, &e))?;
    let done = desk.store.import(&text).await?;
    let Some(photos) = photos else {
        return Ok(done);
    };
    for photo in desk.store.all_photos().await? {
        // Only names that the book knows are looked for; ids are letters and digits.
        let plain = photo.id.chars().all(|c| c.is_ascii_alphanumeric());
        for end in [".jpg", ".small.jpg"] {
            let name = format!("{}{end}", photo.id);
            let from = photos.join(&name);
            if !plain || !from.exists() {
                continue;
            }
            fs::create_dir_all(&desk.photos).map_err(|e| disk("write", &desk.photos, &e))?;
            let to = desk.photos.join(&name);
            fs::copy(&from, &to).map_err(|e| disk("write", &to, &e))?;
        }
    }
    Ok(done)
}
