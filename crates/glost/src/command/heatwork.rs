//! `glost heatwork`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_feed::{Channel, read_log};
use glost_heat::HeatWork;
use glost_model::cone::Cone;

use crate::say::{Trouble, answer, cone, json, read_file};

/// Say what cone each channel of a sensor log has reached, and the hold still needed for a cone.
#[derive(Debug, clap::Args)]
pub struct Heatwork {
    /// A CSV log; the handbook says how it is written.
    log: PathBuf,
    /// Say the hold still needed for this cone at the last temperature.
    #[arg(long, value_parser = cone)]
    cone: Option<Cone>,
    /// Answer as JSON.
    #[arg(long)]
    json: bool,
}

/// Longer than this no hold is named: the kiln must climb instead.
const LONGEST_HOLD_H: f64 = 24.0;

impl Heatwork {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let name = self.log.display().to_string();
        let log = read_log(&read_file(&self.log)?, &name).map_err(Trouble::Input)?;
        let mut rows = Vec::new();
        for channel in &log.channels {
            let work = received(channel)
                .map_err(|e| Trouble::Words(format!("{name}, {}: {e}", channel.name)))?;
            let last = channel.readings.last().map(|r| r.temperature);
            let hold = self
                .cone
                .zip(last)
                .and_then(|(c, t)| work.hold_needed(c, t))
                .map(|s| s.to_minutes());
            if self.json {
                rows.push(serde_json::json!({
                    "channel": channel.name,
                    "cone_position": work.position(),
                    "cone_reached": work.reached().to_string(),
                    "last_c": last.map(glost_model::Temperature::to_c),
                    "hold_needed_min": hold,
                }));
                continue;
            }
            answer(&format!("{}: cone {:#}", channel.name, work.reached()));
            if let Some((c, last)) = self.cone.zip(last) {
                answer(&match hold {
                    Some(m) if m <= 0.0 => format!("  cone {c} is down"),
                    Some(m) if m < LONGEST_HOLD_H * 60.0 => {
                        format!("  cone {c} needs {m:.0} min more at {:.0} °C", last.to_c())
                    }
                    _ => format!("  cone {c} is out of reach at {:.0} °C", last.to_c()),
                });
            }
        }
        if self.json {
            answer(&json(&serde_json::Value::Array(rows)));
        }
        Ok(ExitCode::SUCCESS)
    }
}

fn received(channel: &Channel) -> Result<HeatWork, glost_heat::NotACurve> {
    let mut work = HeatWork::new();
    for pair in channel.readings.windows(2) {
        if let [a, b] = pair {
            work.push(b.at - a.at, a.temperature, b.temperature)?;
        }
    }
    Ok(work)
}
