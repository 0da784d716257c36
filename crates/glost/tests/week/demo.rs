//! The invented studio or an empty one, served as a person serves it.

use std::io::{BufRead as _, BufReader};
use std::process::{Child, Command, Stdio};

use crate::served::new_place;

/// A running server; ends with the test.
pub struct Studio {
    child: Child,
    link: String,
    _folder: tempfile::TempDir,
}

impl Studio {
    /// The invented studio.
    pub fn demo() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let place = folder.path().display().to_string();
        Self::start(folder, &["demo", "--port", "0", "--keep", &place])
    }

    /// A new studio of which nothing is known, in a file or in PostgreSQL.
    pub fn empty(postgres: bool) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (store, photos) = new_place(folder.path(), "empty", postgres);
        let photos = photos.display().to_string();
        let args = [
            "serve",
            "--bind",
            "127.0.0.1:0",
            "--store",
            &store,
            "--photos",
            &photos,
        ];
        Self::start(folder, &args)
    }

    fn start(folder: tempfile::TempDir, args: &[&str]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_glost"))
            .args(args)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut lines = BufReader::new(child.stdout.take().unwrap())
            .lines()
            .map_while(Result::ok);
        let link = lines.find_map(|l| Some(l[l.find("http://")?..l.rfind("/ (")?].to_owned()));
        // What it says later must find a reader.
        std::thread::spawn(move || lines.count());
        Self {
            child,
            link: link.unwrap(),
            _folder: folder,
        }
    }

    /// The address of a page.
    pub fn at(&self, path: &str) -> String {
        format!("{}{path}", self.link)
    }
}

impl Drop for Studio {
    fn drop(&mut self) {
        drop(self.child.kill());
        drop(self.child.wait());
    }
}
