//! `glost demo`

use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use glost_model::book::Role;
use glost_store::Store;
use glost_studio::desk::Desk;
use glost_studio::desk::seed::{DEMO_PASSWORD, KNOWN};
use glost_studio::rehearse::{FASTEST, SEED, Stage};
use glost_studio::{demo_texts, open_texts};
use glost_web::{App, begin_demo, serve_app};

use super::rehearse::Planting;
use super::serve::{logs_in, runtime};
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
    /// Rehearse a firing: planned, loaded and started, with a synthetic kiln whose log is followed.
    #[arg(long)]
    fire: bool,
    /// How many times as fast as a kiln it goes.
    #[arg(long, default_value_t = 600.0, requires = "fire")]
    pace: f64,
    /// Number of the synthetic kiln.
    #[arg(long, default_value_t = SEED, requires = "fire")]
    seed: u64,
    #[command(flatten)]
    fault: Planting,
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
            if self.fire {
                self.rehearse(&mut app, &folder, new).await?;
            } else if new {
                begin_demo(&app).await.map_err(|e| words(&e))?;
            }
            let fire = self.fire;
            serve_app(app, bind, |at| {
                answer(&format!("Open http://{at}/ (stop with Ctrl-C)"));
                if fire {
                    answer(&format!(
                        "The firing is planned first; then it is at http://{at}/firings/0001/watch"
                    ));
                }
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

    /// Lets a synthetic kiln fire beside the server.
    async fn rehearse(&self, app: &mut App, folder: &Path, new: bool) -> Result<(), Trouble> {
        let words = |e: &dyn std::error::Error| Trouble::Words(e.to_string());
        if !(1.0..=FASTEST).contains(&self.pace) {
            return Err(Trouble::Words(format!(
                "a pace of {} cannot be kept: write from 1 to {FASTEST}",
                self.pace
            )));
        }
        let planted = self.fault.planted()?;
        let logs = folder.join("logs");
        std::fs::create_dir_all(&logs).map_err(|e| words(&e))?;
        let logs = logs_in(&logs)?;
        app.read_logs_in(logs.clone());
        if !new {
            answer(
                "The studio is kept from before: its firings go on as they are, and none is begun.",
            );
            return Ok(());
        }
        let people = app.desk.who_fires().await.map_err(|e| words(&e))?;
        let person = people.into_iter().find(|p| p.role == Role::Technician);
        let person = person.ok_or_else(|| {
            Trouble::Words("nobody of the invented studio may fire: begin it anew".to_owned())
        })?;
        let stage = Stage {
            desk: app.desk.clone(),
            clock: clock::instant,
            logs,
            person,
            seed: self.seed,
            planted,
            pace: self.pace,
        };
        tokio::spawn(async move {
            if let Err(e) = stage.play().await {
                tracing::error!(error = %e, "the rehearsal broke off");
            }
        });
        Ok(())
    }
}
