//! `glost rules`

use std::process::ExitCode;

use glost_heat::firing::{WALLS_MM, known_rates};
use glost_model::shown::trimmed;
use glost_rules::{Setting, value};

use crate::say::{Trouble, answer};

/// Print every rule that is a number, and how fast ware may go: what it sets, its default, why, and who says so.
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
        lines.extend(rates());
        answer(&lines.join("\n"));
        Ok(ExitCode::SUCCESS)
    }
}

/// How fast ware may go.
fn rates() -> Vec<String> {
    let [thin, usual, thick] = WALLS_MM;
    let mut lines = vec![
        String::new(),
        "# How fast ware may go".to_owned(),
        String::new(),
        "A planned firing keeps all of these, as far as the load has such ware; segments of your own are held against"
            .to_owned(),
        "them. Between these walls in proportion, thicker ware slower with the square of its wall. Stress is that of"
            .to_owned(),
        "bisqued ware flat on its shelf; raised ware stands four times as much, greenware half on the way up."
            .to_owned(),
        String::new(),
        format!(
            "| id | from | to | {thin} mm | {usual} mm | {thick} mm | what happens there | who says so |"
        ),
        "| - | - | - | - | - | - | - | - |".to_owned(),
    ];
    lines.extend(known_rates().iter().map(|r| {
        let [thin, usual, thick] = r.c_per_h;
        let to = r.to.map_or_else(
            || "the last 100 °C".to_owned(),
            |t| format!("{:.0} °C", t.to_c()),
        );
        format!(
            "| `{}` | {:.0} °C | {to} | {thin:.0} °C/h | {usual:.0} °C/h | {thick:.0} °C/h | {} | {} |",
            r.id,
            r.from.to_c(),
            r.what,
            r.source
        )
    }));
    lines
}
