//! `glost simulate`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_heat::firing::{mend, try_out};
use glost_model::firing::Segment;
use glost_model::plan_file::PlanFile;
use glost_model::shown::Shown;
use glost_model::{Rate, Span, Temperature};

use crate::say::{Trouble, answer, json, read_file};

/// Foresee a firing of your own for a planned load: what each tier gets, hours, energy and cost.
#[derive(Debug, clap::Args)]
pub struct Simulate {
    /// A plan.json written by `glost plan`.
    plan: PathBuf,
    /// Segments as RATE:TARGET:HOLD in order, in the studio's degrees (an hour) and minutes, as 60:1222:15;
    /// `full` for the rate goes as fast as the kiln can. The plan's own if none are given.
    #[arg(long = "segment", allow_hyphen_values = true)]
    segments: Vec<String>,
    /// Change what the ware would not stand, as little as may be: rates, a hold that dries it, the peak.
    #[arg(long)]
    mend: bool,
    /// Answer as JSON, the whole forecast.
    #[arg(long)]
    json: bool,
}

fn segment(text: &str, shown: Shown) -> Result<Segment, Trouble> {
    let bad = || {
        Trouble::Words(format!(
            "'{text}' is no segment: write RATE:TARGET:HOLD in {} and minutes, as {}",
            shown.degree_sign(),
            example(shown)
        ))
    };
    let number = |t: &str| t.trim().parse::<f64>().ok().filter(|v| v.is_finite());
    let parts: Vec<&str> = text.split(':').collect();
    let [rate, target, hold] = parts[..] else {
        return Err(bad());
    };
    let rate = if rate.trim() == "full" {
        None
    } else {
        let typed = number(rate).ok_or_else(bad)?;
        Some(if shown.fahrenheit {
            Rate::f_per_h(typed)
        } else {
            Rate::c_per_h(typed)
        })
    };
    let target = number(target).ok_or_else(bad)?;
    let target = if shown.fahrenheit {
        Temperature::f(target)
    } else {
        Temperature::c(target)
    };
    let hold = Span::minutes(number(hold).ok_or_else(bad)?);
    let sane = rate.is_none_or(|r| (1.0..=2000.0).contains(&r.to_c_per_h().abs()))
        && (0.0..=1400.0).contains(&target.to_c())
        && (0.0..=100.0).contains(&hold.to_h());
    if !sane {
        return Err(Trouble::Words(format!(
            "'{text}' is out of range: rates from {} to {} up or down, targets from {} to {}, holds up to 6000 min",
            shown.rate(Rate::c_per_h(1.0)),
            shown.rate(Rate::c_per_h(2000.0)),
            shown.temperature(Temperature::c(0.0)),
            shown.temperature(Temperature::c(1400.0)),
        )));
    }
    Ok(Segment {
        rate,
        target,
        hold,
        reason: "as asked".to_owned(),
    })
}

fn example(shown: Shown) -> &'static str {
    if shown.fahrenheit {
        "108:2232:15"
    } else {
        "60:1222:15"
    }
}

impl Simulate {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let name = self.plan.display().to_string();
        let file =
            PlanFile::read(&read_file(&self.plan)?, &name).map_err(|f| Trouble::Input(vec![f]))?;
        let words = |e: &dyn std::error::Error| Trouble::Words(e.to_string());
        let kiln = file.studio.kiln(&file.load.kiln).ok_or_else(|| {
            Trouble::Words(format!("{name} names a kiln that its studio does not have"))
        })?;
        let segments = if self.segments.is_empty() {
            let planned = file.firing.as_ref().map(|f| f.segments.clone());
            planned.ok_or_else(|| {
                Trouble::Words(format!(
                    "{name} has no firing; give one with --segment {}",
                    example(file.studio.shown)
                ))
            })?
        } else {
            self.segments
                .iter()
                .map(|t| segment(t, file.studio.shown))
                .collect::<Result<_, _>>()?
        };
        let (studio, load) = (&file.studio, &file.load);
        let (tried, changes) = if self.mend {
            let mended = mend(studio, kiln, load, segments).map_err(|e| words(&e))?;
            (mended.firing, Some(mended.changes))
        } else {
            let tried = try_out(studio, kiln, load, segments).map_err(|e| words(&e))?;
            (tried, None)
        };
        let (firing, forecast) = (tried.plan, tried.forecast);
        if self.json {
            let value = serde_json::to_value(&forecast).map_err(|e| words(&e))?;
            let value = serde_json::json!({
                "forecast": value,
                "segments": firing.segments,
                "changes": changes,
                "notes": firing.notes,
            });
            answer(&json(&value));
        } else {
            match changes.as_deref() {
                None => {}
                Some([]) => answer("Nothing had to be changed."),
                Some(changes) => {
                    answer("Changed:");
                    changes.iter().for_each(|c| answer(&format!("  {c}")));
                }
            }
            answer(&super::plan::firing(&PlanFile {
                firing: Some(firing),
                forecast: Some(forecast),
                ..file
            }));
        }
        Ok(ExitCode::SUCCESS)
    }
}
