//! The folder that loggers write into. Nothing outside it is read, whatever a page asks for.

use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Files offered for choice.
const MOST: usize = 200;
/// Longest name of a file.
const LONGEST: usize = 200;

/// The folder.
#[derive(Debug, Clone)]
pub struct Logs {
    folder: Arc<PathBuf>,
}

/// What is wrong with a name, and what to do.
pub type NoFile = (String, &'static str);

impl Logs {
    /// The folder at that path.
    ///
    /// # Errors
    /// When there is none.
    pub fn open(folder: &Path) -> std::io::Result<Self> {
        let folder = folder.canonicalize()?;
        if !folder.is_dir() {
            return Err(std::io::ErrorKind::NotADirectory.into());
        }
        Ok(Self {
            folder: Arc::new(folder),
        })
    }

    /// Where it is.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Its files, the latest changed first.
    ///
    /// # Errors
    /// When it cannot be looked into.
    pub fn names(&self) -> std::io::Result<Vec<String>> {
        let mut all = Vec::new();
        for entry in std::fs::read_dir(self.folder.as_path())? {
            let entry = entry?;
            let Ok(name) = entry.file_name().into_string() else {
                continue;
            };
            if self.path(&name).is_ok()
                && let Ok(about) = std::fs::metadata(entry.path())
                && about.is_file()
            {
                all.push((about.modified().ok(), name));
            }
        }
        all.sort_by(|a, b| b.cmp(a));
        Ok(all.into_iter().take(MOST).map(|f| f.1).collect())
    }

    /// The file of a name in the folder, whether it is there yet or not.
    ///
    /// # Errors
    /// What is wrong with the name: one that leads out of the folder, by its parts or by a link, names no file.
    pub fn path(&self, name: &str) -> Result<PathBuf, NoFile> {
        let plain = !name.is_empty()
            && name.len() <= LONGEST
            && !name.starts_with('.')
            && !name.contains(['/', '\\', ':', '\0'])
            && name.trim() == name;
        if !plain {
            return Err((
                "that is no name of a file in the folder of logs".to_owned(),
                "Write the name alone, without folders, as heron.csv",
            ));
        }
        let path = self.folder.join(name);
        match path.canonicalize() {
            Ok(real) if !real.starts_with(self.folder.as_path()) => Err((
                format!("{name} is a link that leads out of the folder of logs"),
                "Let the logger write into the folder itself",
            )),
            Ok(real) if !real.is_file() => Err((
                format!("{name} is no file"),
                "Choose the file that the logger writes",
            )),
            // It may come yet.
            Ok(_) | Err(_) => Ok(path),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_outside_the_folder_is_named() {
        let all = tempfile::tempdir().unwrap();
        let folder = all.path().join("logs");
        std::fs::create_dir_all(folder.join("sub")).unwrap();
        std::fs::write(all.path().join("secret.csv"), "x").unwrap();
        std::fs::write(folder.join("heron.csv"), "x").unwrap();
        std::fs::write(folder.join(".hidden"), "x").unwrap();
        #[cfg(unix)]
        std::os::unix::fs::symlink(all.path().join("secret.csv"), folder.join("link.csv")).unwrap();
        let logs = Logs::open(&folder).unwrap();
        for bad in [
            "",
            "../secret.csv",
            "/etc/passwd",
            "sub/x",
            "sub",
            "..",
            ".hidden",
            "a\\b",
            " heron.csv",
            "link.csv",
            "c:x",
        ] {
            assert!(logs.path(bad).is_err(), "{bad}");
        }
        assert!(logs.path("heron.csv").is_ok() && logs.path("later.csv").is_ok());
        assert_eq!(logs.names().unwrap(), ["heron.csv"]);
        assert!(Logs::open(&folder.join("heron.csv")).is_err());
    }
}
