//! `glost demo`

use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::process::ExitCode;

use glost_store::Store;
use glost_studio::desk::Desk;
use glost_studio::desk::seed::{DEMO_PASSWORD, KNOWN};
use glost_studio::{demo_texts, open_texts};
use glost_web::{App, begin_demo, serve_app};

use super::serve::runtime;
use crate::clock;
use crate::say::{Trouble, answer};

/// Serve an invented studio with its ware, kilns and people, to try everything on this machine.
#[derive(Debug, clap::Args)]
pub struct Demo {
    /// Port on 127.0.0.1; 0 takes any free one.
    #[arg(long, default_value_t = 8787)]
    port: u16,
    /// Folder to keep it in; left out, it is gone when you stop.
    #[arg(long)]
    keep: Option<PathBuf>,
}

impl Demo {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        crate::log::begin(false);
        let words = |e: &dyn std::error::Error| Trouble::Words(e.to_string());
        let passing = std::env::temp_dir().join(format!("glost-demo-{}", std::process::id()));
        let folder = self.keep.clone().unwrap_or_else(|| passing.clone());
        std::fs::create_dir_all(&folder).map_err(|e| words(&e))?;
        let run = runtime()?;
        let bind = SocketAddr::from((Ipv4Addr::LOCALHOST, self.port));
        let served = run.block_on(async {
            let place = folder.join("studio.db").display().to_string();
            let store = Store::open(&place).await.map_err(|e| words(&e))?;
            let desk = Desk::new(store, folder.join("studio.photos"));
            let new = desk.is_new().await.map_err(|e| words(&e))?;
            if new {
                let (studio, _) = open_texts(&demo_texts()).map_err(Trouble::Input)?;
                desk.bring_in(&studio, &KNOWN, clock::instant())
                    .await
                    .map_err(|e| words(&e))?;
            }
            let mut app = App::new(desk, clock::instant);
            app.demo = true;
            if new {
                begin_demo(&app).await.map_err(|e| words(&e))?;
            }
            serve_app(app, bind, |at| {
                answer(&format!("Open http://{at}/ (stop with Ctrl-C)"));
                answer(&format!(
                    "Sign in as {} with the password: {DEMO_PASSWORD}",
                    KNOWN[0].login
                ));
            })
            .await
            .map_err(|e| words(&e))
        });
        if self.keep.is_none() {
            // Best effort: it lies in the folder for passing files.
            drop(std::fs::remove_dir_all(&passing));
        }
        served?;
        Ok(ExitCode::SUCCESS)
    }
}
