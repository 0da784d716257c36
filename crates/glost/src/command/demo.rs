//! `glost demo`

use std::process::ExitCode;

use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::plan_file::PlanFile;
use glost_placing::PlanAsk;
use glost_studio::edit::Bench;
use glost_studio::{DEMO_KILN, demo_texts, foresee, load_sheet, open_texts, propose};
use glost_web::{Shown, serve};

use crate::say::{Trouble, answer};

/// Plan a load of the built-in invented studio and show it as pages on this machine.
#[derive(Debug, clap::Args)]
pub struct Demo {
    /// Port on 127.0.0.1; 0 takes any free one.
    #[arg(long, default_value_t = 8787)]
    port: u16,
    /// Seed of the plan.
    #[arg(long, default_value_t = 1)]
    seed: u64,
}

impl Demo {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let (studio, book) = open_texts(&demo_texts()).map_err(Trouble::Input)?;
        let words = |e: &dyn std::error::Error| Trouble::Words(e.to_string());
        let cone = Cone::parse("6").map_err(|e| words(&e))?;
        // The demo's ware came in around this day.
        let today = jiff::civil::date(2026, 11, 25);
        let kind = FiringKind::Glaze;
        let ask = PlanAsk {
            studio: &studio,
            book: &book,
            kiln: DEMO_KILN,
            cone,
            kind,
            today,
            seed: self.seed,
            rounds: 400,
            worth: None,
        };
        answer("Planning the demo studio's load and firing …");
        let load = propose(&ask, &mut |_, _| true).map_err(|e| words(&e))?.load;
        let mut plan = PlanFile::new(studio, load);
        foresee(&mut plan).map_err(|e| words(&e))?;
        let json = plan.to_json().map_err(|e| words(&e))?;
        let sheet = load_sheet(&plan).map_err(|e| words(&e))?;
        let bench = Bench::open(plan.clone(), today).map_err(|e| words(&e))?;
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
