//! `glost figures learn`

use std::process::ExitCode;

use glost_studio::figures::{LearnAsk, learn_names, measure_learn};
use serde_json::json;

use super::show::{known, row_json, summary, table};
use crate::say::{Trouble, answer, json as text, remark};

/// Most kilns that are drawn.
const MOST: usize = 500;

/// Measure learning: forecasts of firings that were not learnt from, before learning and after 1, 3 and 6 firings, in
/// synthetic kilns unlike the model.
#[derive(Debug, clap::Args)]
pub struct Learn {
    /// Only one part of the whole.
    #[arg(long, value_name = "NAME", value_parser = part_name)]
    only: Option<&'static str>,
    /// How many kilns to draw.
    #[arg(long, value_name = "N", default_value_t = 24)]
    kilns: usize,
    /// Which kilns.
    #[arg(long, default_value_t = 2)]
    seed: u64,
    /// Answer as JSON.
    #[arg(long)]
    json: bool,
}

fn part_name(name: &str) -> Result<&'static str, String> {
    let names: Vec<_> = learn_names().collect();
    known(name, names.into_iter())
}

impl Learn {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        if self.kilns == 0 || self.kilns > MOST {
            return Err(Trouble::Words(format!(
                "--kilns {} cannot be: give 1 to {MOST}",
                self.kilns
            )));
        }
        let ask = LearnAsk {
            kilns: self.kilns,
            seed: self.seed,
        };
        if !self.json {
            remark("Each kiln takes some seconds.");
        }
        let names: Vec<&str> = self
            .only
            .map_or_else(|| learn_names().collect(), |o| vec![o]);
        let mut rows = Vec::new();
        for name in names {
            for row in measure_learn(&ask, name).unwrap_or_default() {
                if !self.json {
                    answer(&table(&row));
                }
                rows.push(row);
            }
        }
        if self.json {
            answer(&text(&json!({
                "version": env!("CARGO_PKG_VERSION"),
                "kilns": ask.kilns,
                "seed": ask.seed,
                "rows": rows.iter().map(row_json).collect::<Vec<_>>(),
            })));
        } else {
            answer(&summary(&rows));
        }
        Ok(ExitCode::SUCCESS)
    }
}
