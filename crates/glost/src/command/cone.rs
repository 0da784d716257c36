//! `glost cone`

use std::process::ExitCode;

use glost_model::Rate;
use glost_model::cone::Cone;

use crate::say::{Trouble, answer, cone, json};

/// Say where a self-supporting cone is down when heated at a rate over the last 100 °C.
#[derive(Debug, clap::Args)]
pub struct ConeEnd {
    /// The cone: 022 to 01, 1 to 14, 05.5, 5.5. Mind the zero: 06 is not 6.
    #[arg(value_parser = cone)]
    cone: Cone,
    /// Rate of the last 100 °C, in °C an hour.
    #[arg(long, default_value_t = 60.0)]
    rate: f64,
    /// Read the rate as °F an hour.
    #[arg(long)]
    fahrenheit: bool,
    /// Answer as JSON.
    #[arg(long)]
    json: bool,
}

impl ConeEnd {
    pub fn run(self) -> Result<ExitCode, Trouble> {
        let rate = if self.fahrenheit {
            Rate::f_per_h(self.rate)
        } else {
            Rate::c_per_h(self.rate)
        };
        if !(1.0..=600.0).contains(&rate.to_c_per_h()) {
            return Err(Trouble::Words(format!(
                "{} is no rate for a cone: use 1 to 600 °C/h (2 to 1080 °F/h)",
                self.rate
            )));
        }
        let known = glost_heat::end_point(self.cone, rate).zip(glost_heat::end_point_doubt(
            glost_heat::Column::SelfSupporting,
            self.cone,
            rate,
        ));
        let (end, doubt) = known.ok_or_else(|| {
            Trouble::Words(format!("there is no end point of cone {}", self.cone))
        })?;
        if self.json {
            answer(&json(&serde_json::json!({
                "cone": self.cone.to_string(),
                "range": self.cone.range_name(),
                "rate_c_per_h": rate.to_c_per_h(),
                "end_point_c": end.to_c(),
                "doubt_k": doubt.to_k(),
            })));
        } else {
            answer(&format!(
                "Cone {} ({}) is down at {:.0} °C ({:.0} °F) after a last 100 °C at {:.0} °C/h ({:.0} °F/h).\nBy the model fitted to the published chart, give or take {:.0} °C; witness cones decide.",
                self.cone,
                self.cone.range_name(),
                end.to_c(),
                end.to_f(),
                rate.to_c_per_h(),
                rate.to_f_per_h(),
                doubt.to_k()
            ));
        }
        Ok(ExitCode::SUCCESS)
    }
}
