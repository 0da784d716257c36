//! `glost firings`

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Instant;

use clap::ValueEnum;
use glost_model::cone::Cone;
use glost_model::studio::Studio;
use glost_placing::backlog::{Aim, BacklogAsk};
use glost_studio::{Firings, OutFile, can_write, open_folder, propose_firings, write_out};
use indicatif::ProgressBar;
use jiff::ZonedDateTime;
use jiff::civil::Date;

use super::plan::{bar, files, limit};
use crate::clock;
use crate::say::{Trouble, answer, cone, json};

mod told;

/// Plan many firings: deal all waiting ware out over kilns and days, in as few or as cheap firings as can be
/// found, each with its load plan.
#[derive(Debug, clap::Args)]
pub struct ManyFirings {
    /// Folder of the studio's text files.
    folder: PathBuf,
    /// Names of the kilns that may be fired, with commas between; all if not given.
    #[arg(long, value_delimiter = ',')]
    kilns: Vec<String>,
    /// Day of the first loading; now if not given.
    #[arg(long)]
    from: Option<Date>,
    /// What is sought once due dates are met.
    #[arg(long, value_enum, default_value_t = Sought::Fewest)]
    aim: Sought,
    /// Cone of bisque whose slip asks for none. Mind the zero: 06 is not 6.
    #[arg(long, value_parser = cone, default_value = "06")]
    bisque_cone: Cone,
    /// The same seed and rounds give the same firings.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Improvements to try once all ware is dealt out.
    #[arg(long, default_value_t = 24)]
    rounds: u32,
    /// Stop seeking after this many seconds and go on with the best so far.
    #[arg(long)]
    seconds: Option<f64>,
    /// Folder for the results: one folder within it for each firing.
    #[arg(long)]
    out: Option<PathBuf>,
    /// Answer as JSON.
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Sought {
    Fewest,
    Cheapest,
}

impl ManyFirings {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let limit = limit(self.seconds)?;
        let (studio, book) = open_folder(&self.folder).map_err(Trouble::Input)?;
        let from = self.from(&studio)?;
        let kilns = if self.kilns.is_empty() {
            studio.kilns.iter().map(|k| k.name.clone()).collect()
        } else {
            self.kilns
                .iter()
                .map(|k| k.trim().to_owned())
                .collect::<Vec<_>>()
        };
        if let Some(out) = &self.out {
            can_write(out).map_err(|e| Trouble::Words(e.to_string()))?;
        }
        let ask = BacklogAsk {
            studio: &studio,
            book: &book,
            kilns: &kilns,
            from: &from,
            aim: match self.aim {
                Sought::Fewest => Aim::Fewest,
                Sought::Cheapest => Aim::Cheapest,
            },
            bisque: self.bisque_cone,
            seed: self.seed,
            rounds: self.rounds,
        };
        let bar = self.bar();
        let start = Instant::now();
        let found = propose_firings(&ask, &mut |done, firings| {
            bar.set_position((done * 1000.0) as u64);
            bar.set_message(format!("{firings} firings"));
            limit.is_none_or(|l| start.elapsed() < l)
        })
        .map_err(|e| Trouble::Words(e.to_string()))?;
        bar.finish_and_clear();
        let text = told::words(&studio, &found);
        let written = match &self.out {
            Some(out) => write(out, &found, &text)?,
            None => Vec::new(),
        };
        if self.json {
            answer(&json(&told::data(&found, &written)));
        } else {
            answer(&text);
            if let Some(out) = &self.out {
                answer(&format!(
                    "{} files written to {}",
                    written.len(),
                    out.display()
                ));
                for old in left_over(out, found.firings.len()) {
                    answer(&format!(
                        "{} is from an earlier answer: take it away",
                        old.display()
                    ));
                }
            }
        }
        Ok(ExitCode::SUCCESS)
    }

    /// The moment from which kilns may be loaded, in the studio's zone.
    fn from(&self, studio: &Studio) -> Result<ZonedDateTime, Trouble> {
        let words = |e: jiff::Error| Trouble::Words(format!("the studio's time zone: {e}"));
        let now = clock::now_at(studio)?;
        match self.from {
            Some(day) => day
                .to_zoned_datetime(now.time_zone().clone())
                .map_err(words),
            None => Ok(now),
        }
    }

    fn bar(&self) -> ProgressBar {
        bar(self.json, "Dealing ware out")
    }
}

/// Each firing into its own folder, and the list beside them.
fn write(out: &Path, found: &Firings, text: &str) -> Result<Vec<PathBuf>, Trouble> {
    let told = |e: glost_studio::WriteError| Trouble::Words(e.to_string());
    let mut written = Vec::new();
    // All are made before the first is written: what fails leaves nothing behind.
    let all: Vec<Vec<OutFile>> = found
        .firings
        .iter()
        .map(|f| files(&f.file))
        .collect::<Result<_, _>>()?;
    for (i, files) in all.iter().enumerate() {
        let folder = out.join(firing_folder(i + 1));
        write_out(&folder, files).map_err(told)?;
        written.extend(files.iter().map(|f| folder.join(&f.name)));
    }
    let list = out.join("firings.txt");
    std::fs::write(&list, format!("{text}\n")).map_err(|e| {
        Trouble::Words(format!(
            "cannot write {}: {e}. Choose another folder with --out, or make room",
            list.display()
        ))
    })?;
    written.push(list);
    Ok(written)
}

fn firing_folder(number: usize) -> String {
    format!("firing-{number}")
}

/// Folders of an answer with more firings.
fn left_over(out: &Path, count: usize) -> Vec<PathBuf> {
    let next = (count + 1..).map(|n| out.join(firing_folder(n)));
    next.take_while(|folder| folder.exists()).collect()
}
