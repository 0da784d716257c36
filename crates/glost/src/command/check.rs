//! `glost check`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_model::plan_file::PlanFile;
use glost_rules::RuleBook;

use crate::say::{Trouble, answer, json, read_file};

/// Judge a plan by every rule. Exit code 0 accepts it, 1 refuses it, 2 means it cannot be read.
#[derive(Debug, clap::Args)]
pub struct Check {
    /// A plan.json written by `glost plan`.
    plan: PathBuf,
    /// Answer as JSON.
    #[arg(long)]
    json: bool,
}

impl Check {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let name = self.plan.display().to_string();
        let plan =
            PlanFile::read(&read_file(&self.plan)?, &name).map_err(|f| Trouble::Input(vec![f]))?;
        let book =
            RuleBook::from_overrides(&plan.studio.rule_overrides, &name).map_err(Trouble::Input)?;
        let breaches = glost_check::judge(&plan.studio, &book, &plan.load);
        if self.json {
            answer(&json(
                &serde_json::json!({ "accepted": breaches.is_empty(), "breaches": breaches }),
            ));
        } else if breaches.is_empty() {
            answer(&format!(
                "Accepted: {} pieces on {} tiers keep every rule.",
                plan.load.placed().count(),
                plan.load.tiers.len()
            ));
        } else {
            for b in &breaches {
                answer(&b.to_string());
            }
            answer(&format!("Refused: {} breaches.", breaches.len()));
        }
        Ok(if breaches.is_empty() {
            ExitCode::SUCCESS
        } else {
            ExitCode::from(1)
        })
    }
}
