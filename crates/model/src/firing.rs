//! A firing plan: what to set on a ramp-and-hold controller, and why.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::cone::Cone;
use crate::quantity::{Rate, Span, Temperature};
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

/// What to set, and what to do by hand.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FiringPlan {
    /// Cone wanted on the reference tier.
    pub cone: Cone,
    /// Segments for the controller.
    pub segments: Vec<Segment>,
    /// Vents, plugs, lid.
    pub hand_steps: Vec<HandStep>,
    /// What the planner wants the person to know (a kiln that cannot keep a rate, a rounded hold).
    pub notes: Vec<String>,
}

impl FiringPlan {
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
    /// When, in words: `rising, at 600 °C`, or at the start.
    pub fn when(&self, shown: Shown) -> String {
        let at = shown.temperature(self.at);
        match (self.cooling, self.at.to_c() <= 25.0) {
            (true, _) => format!("cooling, at {at}"),
            (false, true) => "at the start".to_owned(),
            (false, false) => format!("rising, at {at}"),
        }
    }
}
