//! Pictures of what the firing does to the kiln: cone by tier, where the energy goes, the kiln across.

use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::studio::Studio;
use serde::Serialize;

use crate::{across, energy, reached};

/// The kiln across at one moment.
#[derive(Serialize)]
struct Still {
    what: &'static str,
    drawing: String,
    told: String,
}

/// All of them.
#[derive(Serialize)]
pub(super) struct Pictures {
    reached: Option<String>,
    energy: String,
    stills: Vec<Still>,
}

impl Pictures {
    /// Nothing for a forecast without a curve.
    pub fn new(studio: &Studio, firing: Option<&FiringPlan>, forecast: &Forecast) -> Option<Self> {
        if forecast.samples.len() < 2 {
            return None;
        }
        let dry = firing.and_then(|f| forecast.dry(f));
        let telling = forecast.across.iter().flat_map(|a| a.telling(dry));
        let still = |t: glost_model::across::Telling| {
            let across = forecast.across.as_ref()?;
            Some(Still {
                what: t.what,
                drawing: across::across_svg(across, t.at, studio.shown)?,
                told: across::moment_words(across.moments.get(t.at)?, studio.shown),
            })
        };
        Some(Self {
            reached: firing.map(|f| reached::reached_svg(forecast, f.cone)),
            energy: energy::energy_svg(forecast),
            stills: telling.filter_map(still).collect(),
        })
    }
}
