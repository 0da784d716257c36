//! `glost simulate`

use std::path::PathBuf;
use std::process::ExitCode;

use glost_heat::kiln::{Extent, KilnModel, from_plan, simulate};
use glost_model::firing::FiringPlan;
use glost_model::plan_file::PlanFile;

use crate::say::{Trouble, answer, json, read_file};

/// Foresee a firing of your own for a planned load: what each tier gets, hours, energy and cost.
#[derive(Debug, clap::Args)]
pub struct Simulate {
    /// A plan.json written by `glost plan`.
    plan: PathBuf,
    /// Segments as RATE:TARGET:HOLD in °C/h, °C and minutes, in order; the plan's own if none are given.
    #[arg(long = "segment", value_parser = segment)]
    segments: Vec<glost_model::firing::Segment>,
    /// Answer as JSON, the whole forecast.
    #[arg(long)]
    json: bool,
}

fn segment(text: &str) -> Result<glost_model::firing::Segment, String> {
    use glost_model::{Rate, Span, Temperature};
    let bad = || format!("'{text}' is no segment: write RATE:TARGET:HOLD, as 60:1222:15");
    let parts: Vec<f64> = text
        .split(':')
        .map(|p| p.trim().parse::<f64>().map_err(|_e| bad()))
        .collect::<Result<_, _>>()?;
    let [rate, target, hold] = parts[..] else {
        return Err(bad());
    };
    let sane = rate.is_finite()
        && rate.abs() >= 1.0
        && rate.abs() <= 2000.0
        && (0.0..=1400.0).contains(&target)
        && (0.0..=6000.0).contains(&hold);
    if !sane {
        return Err(format!(
            "'{text}' is out of range: rate 1 to 2000 °C/h up or down, target 0 to 1400 °C, hold 0 to 6000 min"
        ));
    }
    Ok(glost_model::firing::Segment {
        rate: Some(Rate::c_per_h(rate)),
        target: Temperature::c(target),
        hold: Span::minutes(hold),
        reason: "as asked".to_owned(),
    })
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
        let firing = if self.segments.is_empty() {
            file.firing.clone().ok_or_else(|| {
                Trouble::Words(format!(
                    "{name} has no firing; give one with --segment 60:1222:15"
                ))
            })?
        } else {
            FiringPlan {
                cone: file.load.cone,
                segments: self.segments,
                hand_steps: Vec::new(),
                notes: Vec::new(),
            }
        };
        let model =
            KilnModel::new(from_plan(&file.studio, kiln, &file.load)).map_err(|e| words(&e))?;
        let forecast = simulate(&model, &firing, &file.studio.tariff, Extent::Cooling)
            .map_err(|e| words(&e))?;
        if self.json {
            let value = serde_json::to_value(&forecast).map_err(|e| words(&e))?;
            answer(&json(&value));
        } else {
            answer(&super::plan::firing(&PlanFile {
                firing: Some(firing),
                forecast: Some(forecast),
                ..file
            }));
        }
        Ok(ExitCode::SUCCESS)
    }
}
