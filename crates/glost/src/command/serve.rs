//! `glost serve`

use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use glost_model::book::Settings;
use glost_store::Store;
use glost_studio::desk::Desk;
use glost_studio::hear::Logs;
use glost_web::{App, serve_app};

use super::import::bring_folder;
use super::place::{way_in, words};
use crate::clock;
use crate::say::{Trouble, answer};

/// Keep the studio's book and serve its pages. The first who opens them sets the studio up.
#[derive(Debug, clap::Args)]
pub struct Serve {
    /// Where the book is: a file, which is made when it is not there, or postgres://user@host/name.
    #[arg(long, env = "GLOST_STORE", default_value = "glost.db")]
    store: String,
    /// Folder of the photos; beside the file of the book if not given.
    #[arg(long, env = "GLOST_PHOTOS")]
    photos: Option<PathBuf>,
    /// Address and port to serve on; port 0 takes any free one. Other machines reach the pages only over a proxy
    /// that speaks HTTPS, or in a network that you trust.
    #[arg(long, env = "GLOST_BIND", default_value = "127.0.0.1:8787")]
    bind: SocketAddr,
    /// Pages are reached by HTTPS, over a proxy: cookies are then sent by HTTPS only.
    #[arg(long, env = "GLOST_HTTPS")]
    https: bool,
    /// A studio's folder of six text files to begin the book with, when it is new.
    #[arg(long)]
    from_folder: Option<PathBuf>,
    /// Folder that loggers write into; files of kilns are read there and nowhere else.
    #[arg(long, env = "GLOST_LOGS")]
    logs: Option<PathBuf>,
    /// Log in JSON, a line an event.
    #[arg(long, env = "GLOST_LOG_JSON")]
    log_json: bool,
}

impl Serve {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        crate::log::begin(self.log_json);
        let photos = self.photos.unwrap_or_else(|| photos_beside(&self.store));
        let run = runtime()?;
        run.block_on(async {
            let store = Store::open(&self.store)
                .await
                .map_err(|e| Trouble::Words(e.to_string()))?;
            let desk = Desk::new(store, photos);
            let way = match &self.from_folder {
                Some(folder) => begin_with(&desk, folder).await?,
                None => None,
            };
            let mut app = App::new(desk, clock::instant);
            app.secure = self.https;
            if let Some(folder) = &self.logs {
                app.read_logs_in(logs_in(folder)?);
            }
            serve_app(app, self.bind, |at| {
                answer(&format!("Open http://{at}/ (stop with Ctrl-C)"));
                if let Some(path) = way {
                    answer(&format!("The technician comes in by http://{at}{path}"));
                }
            })
            .await
            .map_err(|e| Trouble::Words(e.to_string()))
        })?;
        Ok(ExitCode::SUCCESS)
    }
}

/// Begins a new book with a studio's folder; a book that is there stays as it is. Answers the way in.
async fn begin_with(desk: &Desk, folder: &Path) -> Result<Option<String>, Trouble> {
    let has = desk.store.has::<Settings>(Settings::ID).await;
    if !has.map_err(words)? {
        answer(&bring_folder(desk, folder).await?);
    }
    way_in(desk).await
}

/// The folder of logs.
pub fn logs_in(folder: &Path) -> Result<Logs, Trouble> {
    Logs::open(folder).map_err(|e| {
        Trouble::Words(format!(
            "the folder of logs {} cannot be read: {e}. Name the folder that the logger writes into",
            folder.display()
        ))
    })
}

/// Threads for pages, and for plans.
pub fn runtime() -> Result<tokio::runtime::Runtime, Trouble> {
    tokio::runtime::Runtime::new().map_err(|e| Trouble::Words(e.to_string()))
}

/// `studio.db` has its photos in `studio.photos`; a server's are in the folder where Glost runs.
pub fn photos_beside(store: &str) -> PathBuf {
    if store.contains("://") {
        PathBuf::from("glost.photos")
    } else {
        PathBuf::from(store).with_extension("photos")
    }
}
