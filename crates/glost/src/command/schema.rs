//! `glost schema`

use std::process::ExitCode;

use glost_model::plan_file::PlanFile;

use super::place::words;
use crate::say::{Trouble, answer, json};

/// Print the JSON Schema of plan.json, or what programs can ask a served studio for.
#[derive(Debug, clap::Args)]
pub struct Schema {
    /// The OpenAPI document of the studio's HTTP API instead.
    #[arg(long)]
    api: bool,
}

impl Schema {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let schema = if self.api {
            serde_json::to_value(glost_web::api_document()).map_err(words)?
        } else {
            PlanFile::schema()
        };
        answer(&json(&schema));
        Ok(ExitCode::SUCCESS)
    }
}
