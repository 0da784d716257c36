//! What is foreseen of a load, in a few lines beside it: before it was changed by hand, and after.

use glost_heat::Place;
use glost_model::Span;
use glost_model::doubt::{Band, TimeBand};
use glost_model::forecast::ZoneResult;
use glost_model::plan_file::PlanFile;
use glost_model::shown::hours;
use serde::Serialize;

use super::{Bench, EditFault};
use crate::foresee;

/// One thing that is foreseen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Line {
    /// What, as `Peak over`.
    pub what: String,
    /// What is expected.
    pub is: String,
    /// In eight of ten kilns like this one; empty where nobody knows.
    pub band: String,
    /// What it was before the load was changed, where that is another.
    pub was: String,
}

/// The forecast of a load in lines.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Foreseen {
    /// What is wrong with it; empty when nothing is.
    pub warning: String,
    /// Times, energy, cost, then the tiers from the top down.
    pub lines: Vec<Line>,
}

impl Foreseen {
    /// Of a plan; nothing when it has no forecast.
    pub fn of(plan: &PlanFile) -> Option<Self> {
        let (firing, forecast) = (plan.firing.as_ref()?, plan.forecast.as_ref()?);
        let doubt = forecast.doubt.as_ref();
        let line = |what: &str, is: String, band: Option<String>| Line {
            what: what.to_owned(),
            is,
            band: band.unwrap_or_default(),
            was: String::new(),
        };
        let after = |t: Option<Span>| t.map_or("not foreseen to come".to_owned(), after);
        let mut lines = vec![
            line(
                "Peak over",
                after(forecast.peak_over(firing)),
                doubt.map(|d| times(&d.peak_over_s)),
            ),
            line(
                "Programme over",
                after(Some(forecast.firing_s)),
                doubt.map(|d| times(&d.over_s)),
            ),
            line(
                "May be opened",
                after(forecast.may_open().and_then(|c| c.time_s)),
                doubt.map(|d| times(&d.open_s)),
            ),
            line(
                "Energy",
                format!("{:.0} kWh", forecast.energy_j.to_kwh()),
                doubt.map(|d| {
                    let (low, high) = (d.energy_j.low.to_kwh(), d.energy_j.high.to_kwh());
                    format!("{low:.0} to {high:.0} kWh")
                }),
            ),
            line(
                "Cost",
                plan.studio.tariff.cost_told(forecast.cost_cents),
                doubt.and_then(|d| d.cost_cents.as_ref()).map(|c| {
                    let told = |m| plan.studio.tariff.cost_told(m);
                    format!("{} to {}", told(c.low), told(c.high))
                }),
            ),
        ];
        for (i, zone) in forecast.zones.iter().enumerate().rev() {
            let band = doubt.and_then(|d| d.zones.get(i));
            lines.push(line(
                &tiers(zone),
                format!(
                    "cone {} ({})",
                    zone.cone_reached,
                    glost_sheets::beside(zone.cone_position, firing.cone)
                ),
                band.map(|z| cones(&z.cone_position)),
            ));
        }
        let warning = if forecast.feasible {
            String::new()
        } else {
            let why = forecast.notes.first().map_or("", String::as_str);
            format!("Not fit to fire as it is. {why}")
                .trim_end()
                .to_owned()
        };
        Some(Self { warning, lines })
    }

    /// Beside what was foreseen before.
    #[must_use]
    pub fn beside(mut self, before: Option<&Self>) -> Self {
        let Some(before) = before else { return self };
        for line in &mut self.lines {
            let was = before.lines.iter().find(|l| l.what == line.what);
            line.was = match was {
                Some(was) if was.is == line.is => String::new(),
                Some(was) => was.is.clone(),
                None => "not in the load before".to_owned(),
            };
        }
        self
    }
}

impl Bench {
    /// Foresees the load as it is now, with the same wishes, beside what was foreseen of it before. It takes some
    /// seconds.
    ///
    /// # Errors
    /// Nothing stands in the kiln, or no firing can be planned for it.
    pub fn foreseen_anew(&self) -> Result<Foreseen, EditFault> {
        let mut plan = self.plan.clone();
        foresee(&mut plan).map_err(|e| EditFault::NotForeseen(e.to_string()))?;
        let now = Foreseen::of(&plan)
            .ok_or_else(|| EditFault::NotForeseen("nothing stands in the kiln".to_owned()))?;
        Ok(now.beside(Foreseen::of(&self.plan).as_ref()))
    }
}

fn after(t: Span) -> String {
    format!("after {}", hours(t))
}

fn times(band: &TimeBand) -> String {
    match (band.low, band.high) {
        (Some(low), Some(high)) => format!("after {} to {}", hours(low), hours(high)),
        (Some(low), None) => format!("not before {}, and in some never", hours(low)),
        _ => "never in most".to_owned(),
    }
}

fn tiers(zone: &ZoneResult) -> String {
    match zone.tiers.as_str() {
        "" => "The floor".to_owned(),
        names if names.contains(", ") => format!("Tiers {names}"),
        name => format!("Tier {name}"),
    }
}

fn cones(band: &Band<f64>) -> String {
    let place = |p: f64| {
        if p < -21.0 {
            Place::Below
        } else {
            Place::At(p)
        }
    };
    format!("cone {} to {}", place(band.low), place(band.high))
}
