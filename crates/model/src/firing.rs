//! A firing plan: what to set on a ramp-and-hold controller, and why.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::cone::Cone;
use crate::quantity::{Rate, Span, TempDiff, Temperature};
use crate::shown::Shown;

/// One ramp and hold.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Segment {
    /// Rate to the target, K/s; negative when cooling. `None`: as fast as the kiln can.
    #[serde(rename = "rate_k_per_s")]
    pub rate: Option<Rate>,
    /// Target, °C.
    #[serde(rename = "target_c")]
    pub target: Temperature,
    /// Hold there, s.
    #[serde(rename = "hold_s")]
    pub hold: Span,
    /// Why it is so, in words for the person who fires.
    pub reason: String,
}

/// A step for a person: vents, plugs, lid, looking at cones.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct HandStep {
    /// When the sensor passes this, °C.
    #[serde(rename = "at_c")]
    pub at: Temperature,
    /// On the way down.
    pub cooling: bool,
    /// What to do.
    pub step: String,
}

/// What a firing should be best at, among those that ware, controller and kiln allow.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Aim {
    /// The end of the peak comes soonest.
    #[default]
    Soonest,
    /// It costs least by the tariff.
    Cheapest,
    /// All tiers get most nearly the same heat-work.
    Evenest,
}

/// A fall after the peak and a hold there, in which bubbles heal while the glaze stiffens.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DropHold {
    /// So far below the peak, K; 30 to 100 are usual.
    #[serde(rename = "by_k")]
    pub by: TempDiff,
    /// So long, s; 20 to 45 min are usual.
    #[serde(rename = "hold_s")]
    pub hold: Span,
}

impl DropHold {
    /// Falls that are taken, K.
    pub const FALLS_K: std::ops::RangeInclusive<f64> = 10.0..=200.0;
    /// Holds that are taken, min.
    pub const HOLDS_MIN: std::ops::RangeInclusive<f64> = 5.0..=240.0;
}

/// What to set, and what to do by hand.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FiringPlan {
    /// Cone wanted on the reference tier.
    pub cone: Cone,
    /// What was sought.
    #[serde(default)]
    pub aim: Aim,
    /// The fall and hold after the peak that was wished.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub drop_hold: Option<DropHold>,
    /// Segments for the controller.
    pub segments: Vec<Segment>,
    /// Vents, plugs, lid.
    pub hand_steps: Vec<HandStep>,
    /// What the planner wants the person to know (a kiln that cannot keep a rate, a rounded hold).
    pub notes: Vec<String>,
}

impl FiringPlan {
    /// Segments as they are, with nothing said of them.
    pub fn new(cone: Cone, segments: Vec<Segment>) -> Self {
        Self {
            cone,
            aim: Aim::default(),
            drop_hold: None,
            segments,
            hand_steps: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// Number of the segment that ends hottest; the last of them if there are more.
    pub fn peak(&self) -> Option<usize> {
        let hotter = |a: &(usize, &Segment), b: &(usize, &Segment)| {
            a.1.target.to_k().total_cmp(&b.1.target.to_k())
        };
        self.segments
            .iter()
            .enumerate()
            .max_by(hotter)
            .map(|(i, _)| i)
    }
}

impl HandStep {
    /// Before the kiln warms up.
    pub fn at_start(&self) -> bool {
        !self.cooling && self.at.to_c() <= 25.0
    }

    /// When, in words: `rising, at 600 °C`, or at the start.
    pub fn when(&self, shown: Shown) -> String {
        match (self.cooling, self.at_start()) {
            // What may be opened from there on is held against this number: it is told as it is.
            (true, _) => format!("cooling, at {}", shown.temperature(self.at)),
            (false, true) => "at the start".to_owned(),
            (false, false) => format!("rising, at {}", shown.mark(self.at)),
        }
    }
}
