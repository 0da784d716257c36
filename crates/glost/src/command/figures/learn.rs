//! `glost figures learn`

use std::process::ExitCode;

use glost_studio::figures::{LearnAsk, learn_names, measure_learn};
use serde_json::json;

use super::show::{known, row_json, summary, table};
use crate::say::{Trouble, answer, json as text, remark};

/// Most kilns that are drawn, and firings of each.
const MOST: usize = 500;

/// Measure learning and watching, in synthetic kilns unlike the model: forecasts of firings that were not learnt from,
/// before learning and after 1, 3 and 6 firings; false alarms, and how soon faults are told of.
#[derive(Debug, clap::Args)]
pub struct Learn {
    /// Only one part of the whole.
    #[arg(long, value_name = "NAME", value_parser = part_name)]
    only: Option<&'static str>,
    /// How many kilns to draw.
    #[arg(long, value_name = "N", default_value_t = 24)]
    kilns: usize,
    /// How many clean firings of each kiln to watch.
    #[arg(long, value_name = "N", default_value_t = 5)]
    clean: usize,
    /// How many firings of each kiln to watch with each fault.
    #[arg(long, value_name = "N", default_value_t = 1)]
    faults: usize,
    /// Which kilns. Limits of alarms were set on 101 and 103.
    #[arg(long, default_value_t = 2)]
    seed: u64,
    /// How many kilns to work on at the same time. The answer is the same.
    #[arg(long, value_name = "N", default_value_t = 2)]
    threads: usize,
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
        for (name, value, least) in [
            ("kilns", self.kilns, 1),
            ("clean", self.clean, 0),
            ("faults", self.faults, 0),
            ("threads", self.threads, 1),
        ] {
            if !(least..=MOST).contains(&value) {
                return Err(Trouble::Words(format!(
                    "--{name} {value} cannot be: give {least} to {MOST}"
                )));
            }
        }
        let ask = LearnAsk {
            kilns: self.kilns,
            clean: self.clean,
            faults: self.faults,
            seed: self.seed,
            threads: self.threads,
        };
        if !self.json {
            remark("Each kiln takes some seconds, and each firing that is watched about one.");
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
                "clean": ask.clean,
                "faults": ask.faults,
                "seed": ask.seed,
                "rows": rows.iter().map(row_json).collect::<Vec<_>>(),
            })));
        } else {
            answer(&summary(&rows));
        }
        Ok(ExitCode::SUCCESS)
    }
}
