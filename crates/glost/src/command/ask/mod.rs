//! `glost ask`

mod data;
mod words;

use std::path::PathBuf;
use std::process::ExitCode;

use glost_model::Span;
use glost_model::plan_file::PlanFile;
use glost_studio::ask::{Moment, Question, Start, ask};
use jiff::SignedDuration;

use crate::clock;
use crate::say::{Trouble, answer, json, read_file};

/// Ask about a firing: when does it peak, when may I open, what does it cost, will the bottom reach its cone, what
/// would a longer hold change, which start is cheapest. Every answer has its band.
#[derive(Debug, clap::Args)]
pub struct Ask {
    /// A plan.json written by `glost plan`.
    plan: PathBuf,
    /// Start then: 22:00 for the next time it is that late, or 2026-12-01T22:00. Now if nothing is said of a start.
    #[arg(long, value_name = "WHEN", value_parser = Moment::read, group = "when")]
    start: Option<Moment>,
    /// Start so that the programme is over by then, in nine kilns of ten.
    #[arg(long, value_name = "WHEN", value_parser = Moment::read, group = "when")]
    end_by: Option<Moment>,
    /// Start so that the kiln may be opened by then, in nine kilns of ten.
    #[arg(long, value_name = "WHEN", value_parser = Moment::read, group = "when")]
    open_by: Option<Moment>,
    /// Start when energy costs least, if it can be with somebody there at the end of the peak.
    #[arg(long, group = "when")]
    cheapest: bool,
    /// Look so far ahead for the cheapest start, 1h to 168h.
    #[arg(long, value_name = "HOURS", value_parser = ahead, default_value = "24h")]
    within: Span,
    /// What would change with so much more hold at the peak: 20min, 1h; -10min for less.
    #[arg(long, value_name = "TIME", value_parser = hold, allow_hyphen_values = true)]
    hold_more: Option<Span>,
    /// How many kilns to draw around this one for the bands.
    #[arg(long, default_value_t = 24, value_parser = clap::value_parser!(u16).range(2..=1000))]
    draws: u16,
    /// The same seed draws the same kilns.
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Count from this moment in place of now, to get an answer again: 2026-11-25T18:30.
    #[arg(long, value_name = "WHEN", value_parser = Moment::read)]
    now: Option<Moment>,
    /// Answer as JSON.
    #[arg(long)]
    json: bool,
}

fn span(text: &str) -> Option<Span> {
    let read: SignedDuration = text.trim().parse().ok()?;
    Some(Span::s(read.as_secs_f64()))
}

fn hold(text: &str) -> Result<Span, String> {
    let known = span(text).filter(|s| s.abs() <= Span::h(12.0) && s.abs() >= Span::minutes(1.0));
    known.ok_or_else(|| {
        format!("'{text}' is no change of a hold: write 20min, 1h or -10min, from 1 min to 12 h")
    })
}

fn ahead(text: &str) -> Result<Span, String> {
    let known = span(text).filter(|s| (1.0..=168.0).contains(&s.to_h()));
    known.ok_or_else(|| format!("'{text}' is no time to look ahead: write 24h or 48h, to 168h"))
}

impl Ask {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let name = self.plan.display().to_string();
        let file =
            PlanFile::read(&read_file(&self.plan)?, &name).map_err(|f| Trouble::Input(vec![f]))?;
        let words = |e: glost_studio::ask::AskError| Trouble::Words(format!("{name}: {e}"));
        let mut now = clock::now_at(&file.studio)?;
        if let Some(moment) = &self.now {
            now = moment.at(&now).map_err(words)?;
        }
        let start = match (self.start, self.end_by, self.open_by, self.cheapest) {
            (Some(at), ..) => Start::At(at),
            (_, Some(by), ..) => Start::EndBy(by),
            (_, _, Some(by), _) => Start::OpenBy(by),
            (.., true) => Start::Cheapest,
            _ => Start::Now,
        };
        let question = Question {
            now,
            start,
            hold_more: self.hold_more,
            ahead: self.within,
            draws: usize::from(self.draws),
            seed: self.seed,
        };
        let told = ask(&file, &question).map_err(words)?;
        if self.json {
            answer(&json(&data::data(&told)));
        } else {
            answer(&words::words(&told));
        }
        Ok(ExitCode::SUCCESS)
    }
}
