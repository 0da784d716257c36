//! `glost heatwork`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_feed::{Channel, read_log};
use glost_heat::HeatWork;
use glost_model::cone::Cone;
use glost_model::shown::hours;
use glost_model::{Rate, Span, TempDiff, Temperature};

use crate::say::{Trouble, answer, cone, json, read_file};

/// Say what cone each channel of a sensor log has reached, and the hold still needed for a cone.
#[derive(Debug, clap::Args)]
pub struct Heatwork {
    /// A CSV log; the handbook says how it is written.
    log: PathBuf,
    /// Say the hold still needed for this cone at the last temperature.
    #[arg(long, value_parser = cone)]
    cone: Option<Cone>,
    /// Standard deviation of the sensor in °C; it widens the band.
    #[arg(long, default_value_t = 0.0)]
    sensor: f64,
    /// Answer as JSON.
    #[arg(long)]
    json: bool,
}

/// Longer than this no hold is named: the kiln must climb instead.
const LONGEST_HOLD_H: f64 = 24.0;

impl Heatwork {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        if !(0.0..=50.0).contains(&self.sensor) {
            return Err(Trouble::Words(format!(
                "{} is no standard deviation of a sensor: use 0 to 50 °C",
                self.sensor
            )));
        }
        let sensor = TempDiff::k(self.sensor);
        let name = self.log.display().to_string();
        let log = read_log(&read_file(&self.log)?, &name).map_err(Trouble::Input)?;
        let mut rows = Vec::new();
        for channel in &log.channels {
            if channel.readings.is_empty() {
                answer_or_row(self.json, &mut rows, &channel.name, "no readings");
                continue;
            }
            if let Some(at) = jump(channel) {
                return Err(Trouble::Words(format!(
                    "{name}, {}: the reading {} after the first jumps by more than {JUMP_K:.0} °C faster than any kiln climbs or falls. Correct or empty that cell; check that the unit of the column is right",
                    channel.name,
                    hours(at)
                )));
            }
            let gap = gap(channel);
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
                    "cone_deviation": work.deviation(sensor),
                    "cone_reached": work.reached().to_string(),
                    "last_c": last.map(Temperature::to_c),
                    "hold_needed_min": hold,
                    "longest_gap_min": gap.map(|g| g.to_minutes()),
                }));
                continue;
            }
            answer(&format!(
                "{}: cone {:#}",
                channel.name,
                work.reached_by(sensor)
            ));
            if let Some(gap) = gap {
                answer(&format!(
                    "  no readings for {} while hot: the cone is a guess from a straight line",
                    hours(gap)
                ));
            }
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

/// A change faster than this, by more than [`JUMP_K`], is no kiln.
const FASTEST: Rate = Rate::c_per_h(3000.0);
const JUMP_K: f64 = 60.0;

/// Time of the first reading that no kiln can have followed to.
fn jump(channel: &Channel) -> Option<Span> {
    channel.readings.windows(2).find_map(|pair| {
        let [a, b] = pair else { return None };
        let (step_k, took_h) = (
            (b.temperature - a.temperature).to_k().abs(),
            (b.at - a.at).to_h(),
        );
        (step_k > JUMP_K && step_k > FASTEST.to_c_per_h() * took_h)
            .then(|| b.at - channel.readings[0].at)
    })
}

/// Readings further apart than this while ware is hot leave heat-work to a guess.
const GAP: Span = Span::minutes(30.0);
const HOT: Temperature = Temperature::c(600.0);

/// The longest gap while hot, if there is one worth telling.
fn gap(channel: &Channel) -> Option<Span> {
    channel
        .readings
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] if a.temperature.max(b.temperature) > HOT => Some(b.at - a.at),
            _ => None,
        })
        .filter(|g| *g > GAP)
        .max_by(|a, b| a.to_s().total_cmp(&b.to_s()))
}

fn answer_or_row(as_json: bool, rows: &mut Vec<serde_json::Value>, channel: &str, words: &str) {
    if as_json {
        rows.push(serde_json::json!({ "channel": channel, "cone_reached": null, "note": words }));
    } else {
        answer(&format!("{channel}: {words}"));
    }
}
