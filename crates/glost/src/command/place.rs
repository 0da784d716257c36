//! Where a studio's book and photos are, for commands that work on them.

use std::path::{Path, PathBuf};

use glost_model::book::{Person, Role};
use glost_store::{Look, Store};
use glost_studio::desk::{Actor, Desk};

use super::serve::photos_beside;
use crate::clock;
use crate::say::Trouble;

/// Where it is.
#[derive(Debug, clap::Args)]
pub struct Place {
    /// Where the book is: a file, or postgres://user@host/name.
    #[arg(long, env = "GLOST_STORE", default_value = "glost.db")]
    pub store: String,
    /// Folder of the photos; beside the file of the book if not given.
    #[arg(long, env = "GLOST_PHOTOS")]
    pub photos: Option<PathBuf>,
}

impl Place {
    /// Whether a server has it; its address may hold a password and is not told.
    pub fn is_server(&self) -> bool {
        self.store.contains("://")
    }

    /// Whether it is a file that is not there yet.
    pub fn is_new_file(&self) -> bool {
        !self.is_server() && !Path::new(&self.store).exists()
    }

    /// Opens what is there; a mistyped name makes no new book.
    pub async fn open_there(&self) -> Result<Desk, Trouble> {
        if self.is_new_file() {
            return Err(Trouble::Words(format!(
                "there is no book at {}. Name the one that is served with --store",
                self.store
            )));
        }
        self.open().await
    }

    /// Opens it, or makes it.
    pub async fn open(&self) -> Result<Desk, Trouble> {
        let store = Store::open(&self.store).await.map_err(words)?;
        let photos = self
            .photos
            .clone()
            .unwrap_or_else(|| photos_beside(&self.store));
        Ok(Desk::new(store, photos))
    }

    /// Takes a file away that was made for nothing.
    pub fn forget(&self) {
        for end in ["", "-wal", "-shm"] {
            drop(std::fs::remove_file(format!("{}{end}", self.store)));
        }
    }
}

/// An error in its words.
pub fn words(e: impl std::fmt::Display) -> Trouble {
    Trouble::Words(e.to_string())
}

/// The way in where nobody can sign in yet: a path that lets a technician of the book in, or a new one where it has
/// none. Nothing when somebody can.
pub async fn way_in(desk: &Desk) -> Result<Option<String>, Trouble> {
    if !desk.is_new().await.map_err(words)? {
        return Ok(None);
    }
    let look = Look {
        states: &[Role::Technician.word()],
        most: 1,
        ..Look::default()
    };
    let known = desk.store.list::<Person>(&look).await.map_err(words)?;
    let known = known.first().map(|k| k.body.id.as_str());
    let command = Person {
        id: "command".to_owned(),
        name: "command".to_owned(),
        role: Role::Technician,
        class: None,
        mark: String::new(),
        reach: String::new(),
        shown: None,
        wish: glost_model::book::Wish::default(),
    };
    let actor = Actor {
        person: &command,
        at: clock::instant(),
    };
    let secret = desk
        .invite(actor, Role::Technician, known, "brought in")
        .await
        .map_err(words)?;
    Ok(Some(format!("/join/{secret}")))
}
