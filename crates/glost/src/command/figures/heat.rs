//! `glost figures heat`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_heat::validation::{markdown, small_equations};
use glost_studio::figures::{Ask, heat_row_names, measure_heat, timed_equations};
use serde_json::json;

use super::show::{known, row_json, summary, table};
use crate::say::{Trouble, answer, json as text, remark};

/// Measure the heat model: cases of known answer, accuracy, and how long a firing takes to work out.
#[derive(Debug, clap::Args)]
pub struct Heat {
    /// Only one row of the whole.
    #[arg(long, value_name = "NAME", group = "one", value_parser = row_name)]
    only: Option<&'static str>,
    /// Measure nothing; write the page with all cases of known answer to this file.
    #[arg(long, value_name = "FILE", group = "one")]
    write: Option<PathBuf>,
    /// Measure nothing; print the equations of a kiln and its firing, for other programs: `small` or `timed`.
    #[arg(long, value_name = "NAME", group = "one", value_parser = equations_name)]
    equations: Option<&'static str>,
    /// Seconds for the row of speed; others take a share of it or what they need.
    #[arg(long, default_value_t = 6.0)]
    seconds: f64,
    /// Shows that all works, measures little.
    #[arg(long)]
    quick: bool,
    /// Answer as JSON.
    #[arg(long)]
    json: bool,
}

fn row_name(name: &str) -> Result<&'static str, String> {
    let names: Vec<_> = heat_row_names().collect();
    known(name, names.into_iter())
}

fn equations_name(name: &str) -> Result<&'static str, String> {
    known(name, ["small", "timed"].into_iter())
}

impl Heat {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        if let Some(path) = &self.write {
            std::fs::write(path, markdown()).map_err(|e| {
                Trouble::Words(format!("{} could not be written: {e}", path.display()))
            })?;
            remark(&format!("Wrote {}.", path.display()));
        } else if let Some(name) = self.equations {
            let lines = match name {
                "small" => small_equations(),
                _ => timed_equations(),
            };
            let lines = lines.ok_or_else(|| Trouble::Words(format!("there is no kiln {name}")))?;
            answer(lines.trim_end());
        } else {
            self.rows()?;
        }
        Ok(ExitCode::SUCCESS)
    }

    fn rows(&self) -> Result<(), Trouble> {
        if !(self.seconds > 0.0 && self.seconds <= 3600.0) {
            return Err(Trouble::Words(format!(
                "--seconds {} cannot be: give a number above 0 and at most 3600",
                self.seconds
            )));
        }
        let ask = Ask {
            seconds: if self.quick { 0.1 } else { self.seconds },
            seed: 1,
            quick: self.quick,
        };
        let names: Vec<&str> = self
            .only
            .map_or_else(|| heat_row_names().collect(), |o| vec![o]);
        let mut rows = Vec::new();
        for name in names {
            if let Some(row) = measure_heat(&ask, name) {
                if !self.json {
                    answer(&table(&row));
                }
                rows.push(row);
            }
        }
        if self.json {
            answer(&text(&json!({
                "version": env!("CARGO_PKG_VERSION"),
                "quick": ask.quick,
                "rows": rows.iter().map(row_json).collect::<Vec<_>>(),
            })));
        } else {
            answer(&summary(&rows));
        }
        Ok(())
    }
}
