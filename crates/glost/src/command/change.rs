//! `glost change`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_model::plan_file::PlanFile;
use glost_model::shown::Shown;
use glost_placing::{Changed, PlanAsk, Step, what_if};
use glost_rules::RuleBook;
use glost_studio::{can_write, change, foresee};

use super::plan::{firing, write_plan};
use crate::clock;
use crate::say::{Trouble, answer, json, read_file};

/// Change a plan at the kiln: say what is not here, stays, moves or keeps off; all else stays where it
/// is as far as it can, and the firing is planned anew.
#[derive(Debug, clap::Args)]
pub struct Change {
    /// A plan.json written by `glost plan`.
    plan: PathBuf,
    /// Pieces that are not here, do not fit, or stay out of this firing; the rest of their sets waits too.
    #[arg(long, value_name = "ID,..", value_delimiter = ',')]
    absent: Vec<String>,
    /// Pieces that stay exactly where they are.
    #[arg(long, value_name = "ID,..", value_delimiter = ',')]
    keep: Vec<String>,
    /// A piece that keeps off a tier.
    #[arg(long, value_name = "ID:TIER", value_delimiter = ',', value_parser = pair)]
    forbid: Vec<(String, String)>,
    /// A piece that goes on a tier, also one that waits.
    #[arg(long = "move", value_name = "ID:TIER", value_delimiter = ',', value_parser = pair)]
    move_to: Vec<(String, String)>,
    /// Two pieces that change places.
    #[arg(long, value_name = "ID:ID", value_delimiter = ',', value_parser = pair)]
    swap: Vec<(String, String)>,
    /// Let waiting ware in where there is room.
    #[arg(long)]
    fill: bool,
    /// Only tell what would let this piece in; nothing is changed or written.
    #[arg(long, value_name = "ID", conflicts_with_all = ["absent", "keep", "forbid", "move_to", "swap", "fill", "out"])]
    why: Option<String>,
    /// Day from which due dates count; today if not given.
    #[arg(long)]
    today: Option<jiff::civil::Date>,
    /// Folder for the results; it may be the plan's own.
    #[arg(long, required_unless_present = "why")]
    out: Option<PathBuf>,
    /// Answer as JSON.
    #[arg(long)]
    json: bool,
}

/// Two names with a colon between; a piece's id may itself hold colons, a tier's name does not.
fn pair(text: &str) -> Result<(String, String), String> {
    text.rsplit_once(':')
        .map(|(a, b)| (a.trim().to_owned(), b.trim().to_owned()))
        .filter(|(a, b)| !a.is_empty() && !b.is_empty())
        .ok_or_else(|| "write two names with a colon between, as P012:3".to_owned())
}

impl Change {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let name = self.plan.display().to_string();
        let file =
            PlanFile::read(&read_file(&self.plan)?, &name).map_err(|f| Trouble::Input(vec![f]))?;
        let book =
            RuleBook::from_overrides(&file.studio.rule_overrides, &name).map_err(Trouble::Input)?;
        let ask = PlanAsk {
            studio: &file.studio,
            book: &book,
            kiln: &file.load.kiln,
            cone: file.load.cone,
            kind: file.load.kind,
            today: self.today.unwrap_or_else(clock::today),
            seed: file.load.seed,
            rounds: 0,
            worth: None,
        };
        if let Some(piece) = &self.why {
            let told =
                what_if(&ask, &file.load, piece).map_err(|e| Trouble::Words(e.to_string()))?;
            answer(&if self.json {
                json(&serde_json::json!({ "piece": piece, "told": told }))
            } else {
                told
            });
            return Ok(ExitCode::SUCCESS);
        }
        let out = self.out.unwrap_or_default();
        can_write(&out).map_err(|e| Trouble::Words(e.to_string()))?;
        let said = glost_placing::Change {
            absent: self.absent,
            keep: self.keep,
            forbid: self.forbid,
            move_to: self.move_to,
            swap: self.swap,
            fill: self.fill,
            ..glost_placing::Change::default()
        };
        let changed = change(&ask, &file.load, &said, &mut |_, _| true)
            .map_err(|e| Trouble::Words(e.to_string()))?;
        let text = words(&changed, file.studio.shown);
        let moved: Vec<_> = changed
            .moved
            .iter()
            .map(|m| serde_json::json!({ "piece": m.piece, "change": m.words(file.studio.shown) }))
            .collect();
        // What was wished of the firing is still wished.
        let mut file = PlanFile {
            firing: file.firing,
            ..PlanFile::new(file.studio, changed.load)
        };
        foresee(&mut file).map_err(|e| Trouble::Words(e.to_string()))?;
        let files = write_plan(&file, &out)?;
        if self.json {
            let names: Vec<_> = files
                .iter()
                .map(|f| out.join(&f.name).display().to_string())
                .collect();
            answer(&json(&serde_json::json!({
                "moved": moved,
                "placed": file.load.placed().count(),
                "left_out": file.load.left_out,
                "worth": file.load.worth,
                "feasible": file.forecast.as_ref().map(|f| f.feasible),
                "notes": file.firing.as_ref().map(|f| &f.notes),
                "files": names,
            })));
        } else {
            answer(&text);
            answer(&firing(&file));
            answer(&format!(
                "{} files written to {}",
                files.len(),
                out.display()
            ));
        }
        Ok(ExitCode::SUCCESS)
    }
}

/// What differs, in words.
fn words(changed: &Changed, shown: Shown) -> String {
    let count = |is: fn(&Step) -> bool| changed.moved.iter().filter(|m| is(&m.step)).count();
    let mut lines = vec![format!(
        "{} pieces go: {} to another tier, {} shifted, {} came in, {} went out; all others stay exactly where they are.",
        changed.load.placed().count(),
        count(|s| matches!(s, Step::Tier { .. })),
        count(|s| matches!(s, Step::Shifted { .. })),
        count(|s| matches!(s, Step::In { .. })),
        count(|s| matches!(s, Step::Out { .. })),
    )];
    lines.extend(
        changed
            .moved
            .iter()
            .map(|m| format!("  {}", m.words(shown))),
    );
    lines.join("\n")
}
