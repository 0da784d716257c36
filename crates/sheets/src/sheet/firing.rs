//! The firing in words: what to set, what to do by hand, what to expect.

use glost_model::Span;
use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::shown::{hours, trimmed};
use glost_model::studio::Studio;
use serde::Serialize;

use crate::curve::step_letter;

/// One ramp and hold.
#[derive(Serialize)]
struct Segment {
    number: usize,
    rate: String,
    target: String,
    hold: String,
    reason: String,
}

/// One step by hand.
#[derive(Serialize)]
struct Step {
    letter: String,
    when: String,
    after: String,
    step: String,
}

/// What to set and to do.
#[derive(Serialize)]
pub(super) struct Firing {
    segments: Vec<Segment>,
    steps: Vec<Step>,
    notes: Vec<String>,
}

impl Firing {
    pub fn new(studio: &Studio, plan: &FiringPlan, forecast: Option<&Forecast>) -> Self {
        let shown = studio.shown;
        let segment = |(i, s): (usize, &glost_model::firing::Segment)| Segment {
            number: i + 1,
            rate: shown.ramp(s.rate),
            target: shown.temperature(s.target),
            hold: hours(s.hold),
            reason: s.reason.clone(),
        };
        let step = |(i, s): (usize, &glost_model::firing::HandStep)| Step {
            letter: step_letter(i),
            when: s.when(shown),
            after: forecast
                .and_then(|f| f.due(s))
                .filter(|_| !s.at_start())
                .map_or_else(String::new, hours),
            step: s.step.clone(),
        };
        Self {
            segments: plan.segments.iter().enumerate().map(segment).collect(),
            steps: plan.hand_steps.iter().enumerate().map(step).collect(),
            notes: plan.notes.clone(),
        }
    }
}

/// What a zone receives.
#[derive(Serialize)]
struct Zone {
    tiers: String,
    peak: String,
    cone: String,
    skin_core: String,
}

/// What to expect.
#[derive(Serialize)]
pub(super) struct Expect {
    feasible: bool,
    facts: Vec<(&'static str, String)>,
    zones: Vec<Zone>,
    cooled: Vec<(String, String)>,
    notes: Vec<String>,
}

impl Expect {
    pub fn new(studio: &Studio, forecast: &Forecast, peak_over: Option<Span>) -> Self {
        let shown = studio.shown;
        let energy = format!("{} kWh", trimmed(forecast.energy_j.to_kwh(), 1));
        let cost = studio.tariff.cost_told(forecast.cost_cents);
        Self {
            feasible: forecast.feasible,
            facts: vec![
                (
                    "Programme over",
                    format!("after {}", hours(forecast.firing_s)),
                ),
                (
                    "Peak hold over",
                    peak_over.map_or_else(
                        || "never reached".to_owned(),
                        |t| format!("after {}", hours(t)),
                    ),
                ),
                ("Hottest at the sensor", shown.temperature(forecast.peak_c)),
                ("Energy", energy),
                ("Cost", cost),
            ],
            zones: forecast
                .zones
                .iter()
                .map(|z| Zone {
                    tiers: z.tiers.clone(),
                    peak: shown.temperature(z.peak_c),
                    cone: z.cone_reached.clone(),
                    skin_core: shown.difference(z.skin_core_k),
                })
                .collect(),
            cooled: forecast
                .cooled
                .iter()
                .map(|c| {
                    let at = c.time_s.map_or_else(
                        || "later than this forecast reaches".to_owned(),
                        |t| format!("{} after the start", hours(t)),
                    );
                    (shown.temperature(c.below_c), at)
                })
                .collect(),
            notes: forecast.notes.clone(),
        }
    }
}
