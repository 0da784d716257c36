//! `glost rehearse`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_heat::strange::Planted;
use glost_model::Span;
use glost_model::plan_file::PlanFile;
use glost_studio::rehearse::{
    FASTEST, Logger, Publisher, Rehearsal, SEED, To, fault, faults, run, usual,
};
use jiff::Timestamp;

use super::serve::runtime;
use crate::clock;
use crate::say::{Trouble, answer, read_file};

/// Rehearse a planned firing with a synthetic kiln that writes its readings as a logger would, faster than time goes.
/// No kiln hears anything of it.
#[derive(Debug, clap::Args)]
pub struct Rehearse {
    /// A plan.json with a programme.
    plan: PathBuf,
    /// The file to write; it must not be there yet.
    #[arg(long)]
    to: Option<PathBuf>,
    /// Broker as HOST:PORT, beside the file or instead of it.
    #[arg(long, requires = "topic")]
    mqtt: Option<String>,
    /// Topic on the broker: one below glost/rehearsal/, so that nothing real listens to it.
    #[arg(long, requires = "mqtt")]
    topic: Option<String>,
    /// How many times as fast as a kiln.
    #[arg(long, default_value_t = 600.0)]
    pace: f64,
    #[command(flatten)]
    fault: Planting,
    /// Number of the synthetic kiln: the same number fires the same.
    #[arg(long, default_value_t = SEED)]
    seed: u64,
    /// Seconds of the kiln between two rows.
    #[arg(long, default_value_t = 60.0)]
    every: f64,
    /// When the kiln is switched on, as 2026-11-27T18:00:00Z; now if not given.
    #[arg(long)]
    start: Option<Timestamp>,
}

/// A fault to plant.
#[derive(Debug, Clone, clap::Args)]
pub struct Planting {
    /// What goes wrong: element-out, relay-stuck, sensor-slips, sensor-open, sensor-reversed, sensor-drifts, lid-open,
    /// plug-open, mains-sag, power-cut or stall.
    #[arg(long, requires = "at")]
    fault: Option<String>,
    /// From when on, since the start, as 4h or 90min.
    #[arg(long, requires = "fault")]
    at: Option<String>,
    /// How much of it: the share of the ring, of mains, of the sensor's way; hours of a power cut; plugs.
    #[arg(long, requires = "fault")]
    how_much: Option<f64>,
    /// Ring of elements that it is in, from 1 at the floor.
    #[arg(long, default_value_t = 1)]
    ring: usize,
}

impl Planting {
    /// What is to be planted.
    pub fn planted(&self) -> Result<Vec<Planted>, Trouble> {
        let Some(name) = &self.fault else {
            return Ok(Vec::new());
        };
        let Some(fault) = fault(name, self.ring) else {
            return Err(Trouble::Words(format!(
                "'{name}' is no fault that can be planted. There are: {}",
                faults().join(", ")
            )));
        };
        let how_much = self.how_much.unwrap_or_else(|| usual(fault));
        if !(how_much.is_finite() && how_much > 0.0 && how_much <= 100.0) {
            return Err(Trouble::Words(format!(
                "{how_much} of a fault is none: write a share up to 1, or hours or plugs"
            )));
        }
        let at = hours(self.at.as_deref().unwrap_or(""))?;
        Ok(vec![Planted {
            fault,
            at,
            how_much,
        }])
    }
}

/// `4h`, `90min`.
fn hours(text: &str) -> Result<Span, Trouble> {
    let text = text.trim();
    let number = |t: &str| t.trim().parse::<f64>().ok();
    let found = if let Some(t) = text.strip_suffix("min") {
        number(t).map(Span::minutes)
    } else {
        number(text.strip_suffix('h').unwrap_or(text)).map(Span::h)
    };
    let sane = found.filter(|s| (0.0..=200.0).contains(&s.to_h()));
    sane.ok_or_else(|| {
        Trouble::Words(format!(
            "'{text}' is no time since the start: write 4h or 90min"
        ))
    })
}

/// A broker's name and port.
fn host_port(text: &str) -> Result<(String, u16), Trouble> {
    let found = text
        .rsplit_once(':')
        .and_then(|(host, port)| Some((host.to_owned(), port.parse().ok()?)));
    found
        .filter(|(host, _)| !host.is_empty())
        .ok_or_else(|| Trouble::Words(format!("'{text}' is no broker: write HOST:PORT")))
}

impl Rehearse {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        crate::log::begin(false);
        let name = self.plan.display().to_string();
        let plan =
            PlanFile::read(&read_file(&self.plan)?, &name).map_err(|f| Trouble::Input(vec![f]))?;
        if !(1.0..=FASTEST).contains(&self.pace) {
            return Err(Trouble::Words(format!(
                "a pace of {} cannot be kept: write from 1 to {FASTEST}",
                self.pace
            )));
        }
        if !(1.0..=3600.0).contains(&self.every) {
            return Err(Trouble::Words(format!(
                "no logger writes a row each {} s: write from 1 to 3600",
                self.every
            )));
        }
        let rehearsal = Rehearsal {
            seed: self.seed,
            planted: self.fault.planted()?,
            start: self.start.unwrap_or_else(clock::instant),
            every: Span::s(self.every),
        };
        let burn = rehearsal.light(&plan).map_err(Trouble::Words)?;
        let mut to = Vec::new();
        if let Some(path) = &self.to {
            let logger = Logger::begin(path).map_err(|e| {
                Trouble::Words(format!(
                    "{} cannot be begun: {e}. Choose a file that is not there yet",
                    path.display()
                ))
            })?;
            to.push(To::File(logger));
        }
        let run_time = runtime()?;
        run_time.block_on(async {
            if let (Some(mqtt), Some(topic)) = (&self.mqtt, &self.topic) {
                let (host, port) = host_port(mqtt)?;
                let publisher = Publisher::new(&host, port, topic).map_err(Trouble::Words)?;
                to.push(To::Broker(publisher));
            }
            if to.is_empty() {
                return Err(Trouble::Words(
                    "the readings go nowhere: name a file with --to, or a broker with --mqtt and --topic"
                        .to_owned(),
                ));
            }
            answer(&format!(
                "A synthetic kiln fires {name} from {}, {} times as fast as a kiln. No kiln is switched.",
                rehearsal.start, self.pace
            ));
            run(burn, self.pace, to, |_| true)
                .await
                .map_err(|e| Trouble::Words(format!("the readings cannot be written: {e}")))
        })?;
        answer("It may be unloaded.");
        Ok(ExitCode::SUCCESS)
    }
}
