//! Backup while people work, and bringing it back: the book and the photos in one file.

use std::fs::File;
use std::io::{BufReader, BufWriter, Read, Write};
use std::path::{Path, PathBuf};

use super::{Desk, DeskError};

/// Name of the book within the file.
const BOOK: &str = "book.jsonl";
/// Folder of the photos within the file.
const PHOTOS: &str = "photos";
/// Larger than any book: a file that claims more is none of ours.
const MOST_BYTES: u64 = 64 << 30;

/// What a backup holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Held {
    /// Rows of the book.
    pub rows: u64,
    /// Files of photos.
    pub photos: u64,
}

impl Desk {
    /// Writes a backup to a file that is not there yet, as everything is at one moment. Photos are never changed, so
    /// that those the book names are all there when they are copied after it.
    ///
    /// # Errors
    /// When it cannot be written; nothing is left of it then.
    pub async fn backup(&self, to: &Path) -> Result<Held, DeskError> {
        if to.exists() {
            return Err(DeskError::cannot(
                format!("{} is there already", to.display()),
                "Name a new file",
            ));
        }
        let part = beside(to, "part");
        let book = beside(to, "book");
        let done = self.write_backup(&part, &book).await;
        // Best effort: what matters is told by `done`.
        drop(std::fs::remove_file(&book));
        match done {
            Ok(held) => {
                std::fs::rename(&part, to).map_err(|e| disk(to, &e))?;
                Ok(held)
            }
            Err(e) => {
                drop(std::fs::remove_file(&part));
                Err(e)
            }
        }
    }

    async fn write_backup(&self, part: &Path, book: &Path) -> Result<Held, DeskError> {
        let mut text = BufWriter::new(File::create(book).map_err(|e| disk(book, &e))?);
        let rows = self.store.backup(&mut text).await?;
        text.flush().map_err(|e| disk(book, &e))?;
        let (part, book, folder) = (part.to_owned(), book.to_owned(), self.photos.clone());
        let photos = tokio::task::spawn_blocking(move || pack(&part, &book, &folder))
            .await
            .map_err(|e| DeskError::Machine(e.to_string()))??;
        Ok(Held { rows, photos })
    }

    /// Brings a backup back into a new store and a new folder of photos.
    ///
    /// # Errors
    /// When the file is damaged or the store is not new; the book is then as it was.
    pub async fn restore(&self, from: &Path) -> Result<Held, DeskError> {
        let passing = beside(&self.photos, "restoring");
        let (from, into) = (from.to_owned(), passing.clone());
        let photos = tokio::task::spawn_blocking(move || unpack(&from, &into))
            .await
            .map_err(|e| DeskError::Machine(e.to_string()))?;
        let done = match photos {
            Ok(photos) => self.take_up(&passing, photos).await,
            Err(e) => Err(e),
        };
        drop(std::fs::remove_dir_all(&passing));
        done
    }

    async fn take_up(&self, passing: &Path, photos: u64) -> Result<Held, DeskError> {
        let book = passing.join(BOOK);
        let mut text = BufReader::new(File::open(&book).map_err(|_gone| {
            DeskError::cannot(
                "the file holds no book",
                "It is no backup of a studio; look for another file",
            )
        })?);
        std::fs::create_dir_all(&self.photos).map_err(|e| disk(&self.photos, &e))?;
        let from = passing.join(PHOTOS);
        if from.exists() {
            for entry in std::fs::read_dir(&from).map_err(|e| disk(&from, &e))? {
                let entry = entry.map_err(|e| disk(&from, &e))?;
                let to = self.photos.join(entry.file_name());
                std::fs::rename(entry.path(), &to).map_err(|e| disk(&to, &e))?;
            }
        }
        let rows = self.store.restore(&mut text).await?.rows;
        Ok(Held { rows, photos })
    }
}

/// Puts the book and the photos into one file, on the disk before it is told.
fn pack(part: &Path, book: &Path, folder: &Path) -> Result<u64, DeskError> {
    let mut tar = tar::Builder::new(File::create(part).map_err(|e| disk(part, &e))?);
    let fail = |e: std::io::Error| disk(part, &e);
    tar.append_path_with_name(book, BOOK).map_err(fail)?;
    let mut photos = 0;
    if folder.exists() {
        let mut names: Vec<PathBuf> = std::fs::read_dir(folder)
            .and_then(|all| all.map(|e| e.map(|e| e.path())).collect())
            .map_err(|e| disk(folder, &e))?;
        names.sort();
        for path in names
            .iter()
            .filter(|p| p.extension().is_some_and(|e| e == "jpg"))
        {
            if let Some(name) = path.file_name() {
                tar.append_path_with_name(path, Path::new(PHOTOS).join(name))
                    .map_err(fail)?;
                photos += 1;
            }
        }
    }
    tar.into_inner()
        .and_then(|file| file.sync_all())
        .map_err(fail)?;
    Ok(photos)
}

/// Takes a backup apart into a passing folder. Only names that a backup has are taken, so that none leads elsewhere.
fn unpack(from: &Path, into: &Path) -> Result<u64, DeskError> {
    let damaged = |e: std::io::Error| {
        DeskError::cannot(
            format!("{} cannot be read as a backup: {e}", from.display()),
            "Look for another file; nothing was restored",
        )
    };
    let mut tar = tar::Archive::new(BufReader::new(
        File::open(from).map_err(|e| disk(from, &e))?,
    ));
    std::fs::create_dir_all(into.join(PHOTOS)).map_err(|e| disk(into, &e))?;
    let mut photos = 0;
    for entry in tar.entries().map_err(damaged)? {
        let entry = entry.map_err(damaged)?;
        let path = entry.path().map_err(damaged)?.into_owned();
        let parts: Vec<&str> = path.iter().filter_map(|p| p.to_str()).collect();
        let to = match parts.as_slice() {
            [BOOK] => into.join(BOOK),
            [PHOTOS, name] if name.ends_with(".jpg") && *name != ".." => {
                photos += 1;
                into.join(PHOTOS).join(name)
            }
            _ => {
                return Err(DeskError::cannot(
                    format!(
                        "{} holds '{}', which no backup has",
                        from.display(),
                        path.display()
                    ),
                    "Look for another file; nothing was restored",
                ));
            }
        };
        let mut out = BufWriter::new(File::create(&to).map_err(|e| disk(&to, &e))?);
        std::io::copy(&mut entry.take(MOST_BYTES), &mut out).map_err(damaged)?;
        out.flush().map_err(|e| disk(&to, &e))?;
    }
    Ok(photos)
}

fn beside(path: &Path, word: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(format!(".{word}"));
    PathBuf::from(name)
}

fn disk(path: &Path, e: &std::io::Error) -> DeskError {
    DeskError::Machine(format!("{}: {e}", path.display()))
}
