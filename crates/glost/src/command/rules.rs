//! `glost rules`

use std::process::ExitCode;

use glost_model::shown::trimmed;
use glost_rules::{Setting, value};

use crate::say::{Trouble, answer};

/// Print every rule that is a number: what it sets, its default, why, and who says so.
#[derive(Debug, clap::Args)]
pub struct Rules {}

impl Rules {
    #[expect(
        clippy::unused_self,
        clippy::unnecessary_wraps,
        reason = "every command runs alike"
    )]
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let mut lines = vec![
            "# Rules that are numbers".to_owned(),
            String::new(),
            "Write another value under `[rules]` in [`studio.toml`](studio-folder.md#studiotoml). A smaller gap is your"
                .to_owned(),
            "own risk: ware moves, glaze spits, and glazed ware that touches is one piece. Printed by `glost rules`."
                .to_owned(),
            String::new(),
            "| id | what it sets | default | why | who says so |".to_owned(),
            "| - | - | - | - | - |".to_owned(),
        ];
        lines.extend(value::ALL.iter().map(|r| {
            let default = match r.default {
                Setting::Length(l) => {
                    format!(
                        "{} mm ({} in)",
                        trimmed(l.to_mm(), 1),
                        trimmed(l.to_inches(), 2)
                    )
                }
                Setting::Cones(c) => format!("{} cones", trimmed(c, 1)),
                Setting::Mass(m) => {
                    format!(
                        "{} kg ({} lb)",
                        trimmed(m.to_kg(), 1),
                        trimmed(m.to_pounds(), 1)
                    )
                }
                Setting::Count(n) => format!("{n} pieces"),
                Setting::Several(n) => n.to_string(),
                Setting::Times(t) => format!("{} ×", trimmed(t, 2)),
            };
            format!(
                "| `{}` | {} | {default} | {} | {} |",
                r.id, r.title, r.reason, r.source
            )
        }));
        answer(&lines.join("\n"));
        Ok(ExitCode::SUCCESS)
    }
}
