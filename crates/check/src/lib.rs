//! The independent judge of a load. It shares no geometry with the planner and takes nothing from
//! the plan on trust for safety: heights, gaps between things, counts and refusals are worked out again. Its
//! value, its reasons for what stays out and the gaps that it states are not.

mod clearance;
mod geometry;
mod layout;
mod pile;
mod shelves;
mod solid;
mod sound;
mod stock;
mod ware;
mod witness;

use std::fmt;

use glost_model::load::LoadPlan;
use glost_model::studio::Studio;
use glost_rules::RuleBook;
use serde::Serialize;

pub use layout::{Laid, layout_fault, worst_overlap};

/// Slack for numbers that were rounded when written, m.
const TOLERANCE_M: f64 = 5e-5;

/// One rule that a plan breaks.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Breach {
    /// Id of the rule.
    pub rule: &'static str,
    /// Tier where it happens.
    pub tier: Option<String>,
    /// Pieces that it concerns.
    pub pieces: Vec<String>,
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub remedy: &'static str,
}

impl fmt::Display for Breach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(t) = &self.tier {
            write!(f, "tier {t}: ")?;
        }
        if !self.pieces.is_empty() {
            write!(f, "{}: ", self.pieces.join(", "))?;
        }
        write!(f, "{} [{}]. {}", self.what, self.rule, self.remedy)
    }
}

/// Judges a plan by every rule. An empty list accepts it.
pub fn judge(studio: &Studio, book: &RuleBook, plan: &LoadPlan) -> Vec<Breach> {
    let mut out = Vec::new();
    let Some(kiln) = studio.kiln(&plan.kiln) else {
        return vec![breach(
            "unknown-name",
            None,
            &[],
            format!("the studio has no kiln '{}'", plan.kiln),
            "Name one of its kilns",
        )];
    };
    if !ware::numbers_are_sound(plan) {
        return vec![breach(
            "number",
            None,
            &[],
            "the plan holds a number that is not finite".to_owned(),
            "Plan the load again",
        )];
    }
    if let Some(what) = sound::fault(studio) {
        return vec![breach(
            "number",
            None,
            &[],
            what,
            "Plan the load again from the studio's folder",
        )];
    }
    ware::judge(studio, book, kiln, plan, &mut out);
    shelves::judge(studio, book, kiln, plan, &mut out);
    clearance::judge(studio, book, kiln, plan, &mut out);
    solid::judge(studio, kiln, plan, &mut out);
    witness::judge(studio, book, kiln, plan, &mut out);
    stock::judge(studio, plan, &mut out);
    pile::judge(studio, book, plan, &mut out);
    out
}

fn breach(
    rule: &'static str,
    tier: Option<&str>,
    pieces: &[&str],
    what: String,
    remedy: &'static str,
) -> Breach {
    Breach {
        rule,
        tier: tier.map(str::to_owned),
        pieces: pieces.iter().map(|p| (*p).to_owned()).collect(),
        what,
        remedy,
    }
}
