//! Write results: all files or none.

use std::io;
use std::path::{Path, PathBuf};

/// A file to write.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OutFile {
    /// Its name inside the folder.
    pub name: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}

/// The results could not be written.
#[derive(Debug, thiserror::Error)]
#[error("cannot write {path}: {source}. Choose another folder with --out, or make room")]
pub struct WriteError {
    /// Where.
    pub path: PathBuf,
    /// Why.
    pub source: io::Error,
}

/// Makes sure, before long work, that results can be written there.
///
/// # Errors
/// Why not.
pub fn can_write(folder: &Path) -> Result<(), WriteError> {
    let try_it = folder.join(".glost.part");
    let at = |path: &Path| {
        let path = path.to_owned();
        move |source| WriteError { path, source }
    };
    std::fs::create_dir_all(folder).map_err(at(folder))?;
    std::fs::write(&try_it, "").map_err(at(folder))?;
    std::fs::remove_file(&try_it).map_err(at(folder))
}

/// Writes every file under a passing name first and only then gives them their own names, so that
/// a full disk leaves no half of a result.
///
/// # Errors
/// The first file that could not be written; passing files are taken away again.
pub fn write_out(folder: &Path, files: &[OutFile]) -> Result<(), WriteError> {
    let at = |path: &Path| {
        let path = path.to_owned();
        move |source| WriteError { path, source }
    };
    std::fs::create_dir_all(folder).map_err(at(folder))?;
    let passing: Vec<(PathBuf, PathBuf)> = files
        .iter()
        .map(|f| {
            (
                folder.join(format!(".{}.part", f.name)),
                folder.join(&f.name),
            )
        })
        .collect();
    let result = files
        .iter()
        .zip(&passing)
        .try_for_each(|(f, (part, _))| std::fs::write(part, &f.bytes).map_err(at(part)))
        .and_then(|()| {
            passing
                .iter()
                .try_for_each(|(part, own)| std::fs::rename(part, own).map_err(at(own)))
        });
    if result.is_ok() {
        forget_old(folder, files).map_err(at(folder))?;
    } else {
        for (part, _) in &passing {
            // Best effort: the first error is the one to tell.
            drop(std::fs::remove_file(part));
        }
    }
    result
}

/// Takes away drawings of tiers and a forecast that this plan no longer has: at the kiln an old one
/// would mislead.
fn forget_old(folder: &Path, files: &[OutFile]) -> io::Result<()> {
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        let numbered = name
            .strip_prefix("tier-")
            .is_some_and(|n| n.starts_with(|c: char| c.is_ascii_digit()));
        let forecast = name == "forecast.csv" || name == "forecast.svg";
        if (forecast || (numbered && name.ends_with(".svg")))
            && files.iter().all(|f| f.name != name)
        {
            std::fs::remove_file(entry.path())?;
        }
    }
    Ok(())
}
