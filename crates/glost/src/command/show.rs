//! `glost show`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_model::plan_file::PlanFile;
use glost_studio::edit::Bench;
use glost_studio::load_sheet;
use glost_web::{Shown, serve};

use crate::say::{Trouble, answer, read_file};

/// Show a plan.json as pages on this machine: load, tiers, firing, what stays out, cautions.
#[derive(Debug, clap::Args)]
pub struct Show {
    /// A plan.json written by `glost plan`.
    plan: PathBuf,
    /// Port on 127.0.0.1; 0 takes any free one.
    #[arg(long, default_value_t = 8787)]
    port: u16,
}

impl Show {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let words = |e: &dyn std::error::Error| Trouble::Words(e.to_string());
        let json = read_file(&self.plan)?;
        let plan = PlanFile::read(&json, &self.plan.display().to_string())
            .map_err(|f| Trouble::Input(vec![f]))?;
        let sheet = load_sheet(&plan).map_err(|e| words(&e))?;
        let bench = Bench::open(plan.clone(), crate::clock::today()).map_err(|e| words(&e))?;
        let shown = Shown {
            plan,
            json,
            sheet,
            bench,
        };
        let run = tokio::runtime::Runtime::new().map_err(|e| words(&e))?;
        run.block_on(serve(shown, self.port, |at| {
            answer(&format!("Open http://{at}/ (stop with Ctrl-C)"))
        }))
        .map_err(|e| words(&e))?;
        Ok(ExitCode::SUCCESS)
    }
}
