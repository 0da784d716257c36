//! `glost figures placing`

use std::process::ExitCode;

use glost_placing::bare::records;
use glost_studio::figures::{
    Ask, INSTANCES, Instance, Task, at_most_s, instance, least, measure, row_names,
};
use serde_json::{Value, json};

use super::show::{known, row_json, span, summary, table};
use crate::say::{Trouble, answer, json as text, remark};

/// Most circles that are taken.
const MOST: usize = 2000;

/// Measure the load planner: circles against published records, single shelves beside other programs, whole
/// loads against the proved bound, and cost against size.
#[derive(Debug, clap::Args)]
pub struct Placing {
    /// Only this many equal circles in the least circle.
    #[arg(long, value_name = "N", group = "one")]
    circles: Option<usize>,
    /// Only circles of radii 1 to N in the least circle.
    #[arg(long, value_name = "N", group = "one")]
    radii: Option<usize>,
    /// Only one row of the whole.
    #[arg(long, value_name = "NAME", group = "one", value_parser = row_name)]
    only: Option<&'static str>,
    /// Measure nothing; write a shelf with its outlines as JSON, for other programs.
    #[arg(long, value_name = "NAME", group = "one", value_parser = instance_name)]
    instance: Option<&'static str>,
    /// Seconds for each shelf or load (10), or for the circles asked for (2; 10 for radii). Equal circles of the
    /// whole take a fifth.
    #[arg(long)]
    seconds: Option<f64>,
    /// Seed of every search.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// A few samples of each row: shows that all works, measures nothing.
    #[arg(long)]
    quick: bool,
    /// Answer as JSON.
    #[arg(long)]
    json: bool,
}

fn row_name(name: &str) -> Result<&'static str, String> {
    let names: Vec<_> = row_names().collect();
    known(name, names.into_iter())
}

fn instance_name(name: &str) -> Result<&'static str, String> {
    known(name, INSTANCES.into_iter())
}

impl Placing {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        if let Some(i) = self.instance.and_then(instance) {
            answer(&text(&as_json(&i)));
        } else if let Some(n) = self.circles {
            self.circles(n, &vec![1.0; n.min(MOST)], records::equal_circles(n), 2.0)?;
        } else if let Some(n) = self.radii {
            let radii: Vec<f64> = (1..=n.min(MOST)).map(|i| i as f64).collect();
            self.circles(n, &radii, records::rising_circles(n), 10.0)?;
        } else {
            self.rows()?;
        }
        Ok(ExitCode::SUCCESS)
    }

    fn seconds(&self, usual: f64) -> Result<f64, Trouble> {
        let seconds = self.seconds.unwrap_or(usual);
        if seconds > 0.0 && seconds <= 86_400.0 {
            Ok(seconds)
        } else {
            Err(Trouble::Words(format!(
                "--seconds {seconds} cannot be: give a number above 0 and at most 86400"
            )))
        }
    }

    fn circles(
        &self,
        n: usize,
        radii: &[f64],
        record: Option<f64>,
        usual_s: f64,
    ) -> Result<(), Trouble> {
        if n == 0 || n > MOST {
            return Err(Trouble::Words(format!(
                "{n} circles cannot be measured: give 1 to {MOST}"
            )));
        }
        let packed = least(radii, self.seconds(usual_s)?, self.seed).map_err(Trouble::Words)?;
        if self.json {
            answer(&json!({ "n": n, "ratio": packed.ratio }).to_string());
        } else {
            let beside = record.map_or_else(
                || "no record in the table".to_owned(),
                |r| {
                    format!(
                        "best known {r:.6}, {:+.3} %",
                        (packed.ratio / r - 1.0) * 100.0
                    )
                },
            );
            answer(&format!(
                "{n} circles: ratio {:.6} ({beside})",
                packed.ratio
            ));
        }
        Ok(())
    }

    fn rows(&self) -> Result<(), Trouble> {
        let ask = Ask {
            seconds: self.seconds(if self.quick { 0.5 } else { 10.0 })?,
            seed: self.seed,
            quick: self.quick,
        };
        let names: Vec<&str> = self.only.map_or_else(|| row_names().collect(), |o| vec![o]);
        let total: f64 = names.iter().map(|n| at_most_s(&ask, n)).sum();
        remark(&format!(
            "This takes at most about {}; --seconds {} scales it.",
            span(total),
            ask.seconds
        ));
        let mut rows = Vec::new();
        for name in names {
            remark(&format!(
                "{name}: at most about {}",
                span(at_most_s(&ask, name))
            ));
            if let Some(row) = measure(&ask, name) {
                if !self.json {
                    answer(&table(&row));
                }
                rows.push(row);
            }
        }
        if self.json {
            answer(&text(&json!({
                "version": env!("CARGO_PKG_VERSION"),
                "seconds": ask.seconds,
                "seed": ask.seed,
                "quick": ask.quick,
                "at_most_s": total,
                "rows": rows.iter().map(row_json).collect::<Vec<_>>(),
            })));
        } else {
            answer(&summary(&rows));
        }
        Ok(())
    }
}

/// All lengths in metres.
fn as_json(i: &Instance) -> Value {
    let posts: Vec<Value> = i
        .shelf
        .posts
        .iter()
        .map(|p| json!({ "x_m": p.x, "y_m": p.y, "radius_m": p.radius }))
        .collect();
    json!({
        "name": i.name,
        "what": i.what,
        "task": match i.task {
            Task::Densest => "densest",
            Task::Narrowest => "narrowest",
            Task::Most => "most",
        },
        "container": i.shelf.form,
        "posts": posts,
        "gap_m": i.shelf.gap,
        "edge_gap_m": i.shelf.edge_gap,
        "shapes": i.shapes,
    })
}
