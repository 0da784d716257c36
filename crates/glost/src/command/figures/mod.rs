//! `glost figures`

mod heat;
mod learn;
mod log;
mod placing;
mod show;
mod studio;

use std::process::ExitCode;

use crate::say::Trouble;

/// Measure how good Glost is, with figures that anyone can check.
#[derive(Debug, clap::Args)]
pub struct Figures {
    #[command(subcommand)]
    of: Of,
}

#[derive(Debug, clap::Subcommand)]
enum Of {
    Placing(placing::Placing),
    Heat(heat::Heat),
    Learn(learn::Learn),
    Studio(studio::Studio),
    Log(log::Log),
}

impl Figures {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        match self.of {
            Of::Placing(p) => p.run(),
            Of::Heat(h) => h.run(),
            Of::Learn(l) => l.run(),
            Of::Studio(s) => s.run(),
            Of::Log(l) => l.run(),
        }
    }
}
