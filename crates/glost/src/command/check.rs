//! `glost check`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_heat::firing::try_out;
use glost_model::plan_file::PlanFile;
use glost_rules::RuleBook;

use crate::say::{Trouble, answer, json, read_file};

/// Judge a plan by every rule, and its firing by a forecast made afresh. Exit code 0 accepts it, 1 refuses it, 2 means it cannot be read.
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
        let firing = firing(&plan);
        let accepted = breaches.is_empty() && firing.is_empty();
        if self.json {
            answer(&json(
                &serde_json::json!({ "accepted": accepted, "breaches": breaches, "firing": firing }),
            ));
        } else if accepted {
            answer(&format!(
                "Accepted: {} pieces on {} tiers keep every rule.",
                plan.load.placed().count(),
                plan.load.tiers.len()
            ));
        } else {
            for b in &breaches {
                answer(&b.to_string());
            }
            for f in &firing {
                answer(&format!("firing: {f}"));
            }
            answer(&format!(
                "Refused: {} of load, {} of firing.",
                breaches.len(),
                firing.len()
            ));
        }
        Ok(if accepted {
            ExitCode::SUCCESS
        } else {
            ExitCode::from(1)
        })
    }
}

/// What is wrong with the plan's own segments, foreseen afresh. A plan without a firing has none to judge.
fn firing(plan: &PlanFile) -> Vec<String> {
    let (Some(firing), Some(kiln)) = (&plan.firing, plan.studio.kiln(&plan.load.kiln)) else {
        return Vec::new();
    };
    let mut wrong = Vec::new();
    if firing.cone != plan.load.cone {
        wrong.push(format!(
            "it is for cone {} ({}) and the load for cone {} ({}). Plan it again",
            firing.cone,
            firing.cone.range_name(),
            plan.load.cone,
            plan.load.cone.range_name()
        ));
    }
    match try_out(&plan.studio, kiln, &plan.load, firing.segments.clone()) {
        Err(e) => wrong.push(e.to_string()),
        Ok(tried) if !tried.forecast.feasible => {
            // The gravest comes first.
            let all = tried.plan.notes.iter().chain(&tried.forecast.notes);
            wrong.push(all.take(1).cloned().collect());
        }
        Ok(_) => {}
    }
    wrong
}
