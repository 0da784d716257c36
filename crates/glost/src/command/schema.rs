//! `glost schema`

use std::process::ExitCode;

use glost_model::plan_file::PlanFile;

use crate::say::{Trouble, answer, json};

/// Print the JSON Schema of plan.json.
#[derive(Debug, clap::Args)]
pub struct Schema {}

impl Schema {
    #[expect(
        clippy::unused_self,
        clippy::unnecessary_wraps,
        reason = "every command runs alike"
    )]
    pub fn run(self) -> Result<ExitCode, Trouble> {
        answer(&json(&PlanFile::schema()));
        Ok(ExitCode::SUCCESS)
    }
}
