//! A backup is one file: the book as it was at one moment, and the photos.

use std::fs::{self, File};
use std::io::{self, BufReader, BufWriter, Write};
use std::path::{Path, PathBuf};

use glost_store::{Checked, Store, StoreError, check_backup};
use jiff::Timestamp;

use super::disk;
use super::packed::{Packer, unpack};
use crate::desk::DeskError;

/// The book in a backup.
const BOOK: &str = "book.jsonl";
/// Folder of the photos in a backup.
const PHOTOS: &str = "photos/";

/// What was backed up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BackedUp {
    /// Rows of the book.
    pub rows: u64,
    /// Photos.
    pub photos: usize,
    /// Photos that the book knows and whose files are gone.
    pub missing: Vec<String>,
    /// Bytes of the file.
    pub bytes: u64,
}

/// Writes everything that the studio keeps into one file, while people go on working. The file is written under a
/// passing name, read back and checked, and only then takes the place of an older one.
///
/// # Errors
/// Of the store or the disk; an older file of that name is left as it was.
pub async fn back_up(
    store: &Store,
    photos: &Path,
    out: &Path,
    now: Timestamp,
) -> Result<BackedUp, DeskError> {
    let book = beside(out, "book");
    let part = beside(out, "part");
    let done = write(store, photos, &book, &part, now).await;
    // Best effort: the error above is the one to tell.
    drop(fs::remove_file(&book));
    let done = done.and_then(|done| {
        fs::rename(&part, out).map_err(|e| disk("write", out, &e))?;
        if let Some(folder) = folder_of(out) {
            // The new name is on the disk, too, where the system knows how to make sure of it.
            drop(File::open(folder).and_then(|f| f.sync_all()));
        }
        Ok(done)
    });
    if done.is_err() {
        drop(fs::remove_file(&part));
    }
    done
}

async fn write(
    store: &Store,
    photos: &Path,
    book: &Path,
    part: &Path,
    now: Timestamp,
) -> Result<BackedUp, DeskError> {
    let mut file = BufWriter::new(private(book)?);
    let rows = store.backup(&mut file).await?;
    drop(file);
    let opened = File::open(book).map_err(|e| disk("read", book, &e))?;
    let known = check_backup(&mut BufReader::new(opened))?;
    let fail = |e: io::Error| disk("write", part, &e);
    let at = u64::try_from(now.as_second()).unwrap_or(0);
    let mut packer = Packer::new(BufWriter::new(private(part)?), at);
    let mut add = |name: &str, path: &Path| -> io::Result<()> {
        let mut from = File::open(path)?;
        let bytes = from.metadata()?.len();
        packer.add(name, bytes, &mut from)
    };
    add(BOOK, book).map_err(fail)?;
    let mut missing = Vec::new();
    let mut count = 0;
    // A photo's files are there before the book knows of it, and stay: those of the book's moment are there now.
    for id in &known.photos {
        let mut all = true;
        for end in [".jpg", ".small.jpg"] {
            let name = format!("{id}{end}");
            match add(&format!("{PHOTOS}{name}"), &photos.join(&name)) {
                Ok(()) => {}
                Err(e) if e.kind() == io::ErrorKind::NotFound => all = false,
                Err(e) => return Err(fail(e)),
            }
        }
        if all {
            count += 1;
        } else {
            missing.push(id.clone());
        }
    }
    let mut file = packer.end().map_err(fail)?;
    file.flush().map_err(fail)?;
    file.get_ref().sync_all().map_err(fail)?;
    let bytes = file.get_ref().metadata().map_err(fail)?.len();
    let read = check(part)?;
    if read.rows != rows {
        return Err(DeskError::Machine(format!(
            "{} does not hold what was written",
            part.display()
        )));
    }
    Ok(BackedUp {
        rows,
        photos: count,
        missing,
        bytes,
    })
}

/// Reads a backup through: whether it is whole and as it was written.
///
/// # Errors
/// What is wrong with it.
pub fn check(file: &Path) -> Result<Checked, DeskError> {
    let mut checked = None;
    go_through(file, &mut |name, from| {
        if name == BOOK {
            checked = Some(check_backup(&mut BufReader::new(from)).map_err(io::Error::other)?);
        }
        Ok(())
    })?;
    checked.ok_or_else(|| damaged(file, "it holds no book"))
}

/// Brings a backup back: the book into a store that holds nothing yet, and the photos into a folder that is not there
/// yet or empty. All of it, or nothing.
///
/// # Errors
/// When the file is damaged, or there is something in the store or the folder already.
pub async fn restore(file: &Path, store: &Store, photos: &Path) -> Result<Checked, DeskError> {
    let checked = check(file)?;
    let used = fs::read_dir(photos).is_ok_and(|mut all| all.next().is_some());
    if used {
        return Err(DeskError::cannot(
            format!("there are photos in {} already", photos.display()),
            "Name another folder with --photos",
        ));
    }
    let part = beside(photos, "part");
    let done = async {
        let fail = |e: io::Error| disk("write", &part, &e);
        fs::create_dir_all(part.join(PHOTOS)).map_err(fail)?;
        go_through(file, &mut |name, from| {
            let mut to = BufWriter::new(File::create(part.join(name))?);
            io::copy(from, &mut to)?;
            to.into_inner().map_err(|e| e.into_error())?.sync_all()
        })?;
        let book = part.join(BOOK);
        let opened = File::open(&book).map_err(|e| disk("read", &book, &e))?;
        // An empty folder gives way.
        drop(fs::remove_dir(photos));
        fs::rename(part.join(PHOTOS), photos).map_err(|e| disk("write", photos, &e))?;
        let done = store.restore(&mut BufReader::new(opened)).await;
        if done.is_err() {
            drop(fs::remove_dir_all(photos));
        }
        done?;
        Ok(checked)
    }
    .await;
    drop(fs::remove_dir_all(&part));
    done
}

fn go_through(
    file: &Path,
    each: &mut dyn FnMut(&str, &mut dyn io::Read) -> io::Result<()>,
) -> Result<(), DeskError> {
    let opened = File::open(file).map_err(|e| disk("read", file, &e))?;
    unpack(BufReader::new(opened), &known, each).map_err(|e| damaged(file, &e.to_string()))
}

/// Names that a backup holds: no other is ever written to a disk.
fn known(name: &str) -> bool {
    let plain = |id: &str| !id.is_empty() && id.chars().all(|c| c.is_ascii_alphanumeric());
    let photo = name
        .strip_prefix(PHOTOS)
        .and_then(|n| n.strip_suffix(".jpg"))
        .map(|n| n.strip_suffix(".small").unwrap_or(n));
    name == BOOK || photo.is_some_and(plain)
}

fn damaged(file: &Path, what: &str) -> DeskError {
    StoreError::Backup {
        line: 0,
        what: format!("{} is no whole backup: {what}", file.display()),
    }
    .into()
}

/// A passing name next to a file.
fn beside(file: &Path, what: &str) -> PathBuf {
    let name = file
        .file_name()
        .map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    file.with_file_name(format!(".{name}.{what}"))
}

fn folder_of(file: &Path) -> Option<&Path> {
    let folder = file.parent()?;
    Some(if folder.as_os_str().is_empty() {
        Path::new(".")
    } else {
        folder
    })
}

/// A new file that only its owner reads: people's names and digests of their passwords are in it.
fn private(path: &Path) -> Result<File, DeskError> {
    let mut options = File::options();
    options.write(true).create(true).truncate(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt as _;
        options.mode(0o600);
    }
    options.open(path).map_err(|e| disk("write", path, &e))
}
