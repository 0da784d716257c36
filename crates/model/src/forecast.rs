//! What to expect of a firing.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::across::Across;
use crate::doubt::Doubt;
use crate::firing::FiringPlan;
use crate::quantity::{Energy, Money, Power, Span, Temperature};

/// One instant of the forecast.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Sample {
    /// Since the start, s.
    pub time_s: Span,
    /// Set point; `None` once the programme has ended, °C.
    pub set_point_c: Option<Temperature>,
    /// What the sensor reads, °C.
    pub sensor_c: Temperature,
    /// Hottest element, °C.
    pub element_c: Temperature,
    /// Ware of each zone in the order of [`Forecast::zones`], °C.
    pub ware_c: Vec<Temperature>,
    /// Power drawn, W.
    pub power_w: Power,
    /// Energy drawn so far, J.
    pub energy_j: Energy,
}

/// What one zone of the kiln (the ware between two heights) receives.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ZoneResult {
    /// Names of the tiers in it, as `2L, 2R`.
    pub tiers: String,
    /// Hottest that its ware gets, °C.
    pub peak_c: Temperature,
    /// Cone reached on the ladder: 022 is −21, 01 is 0, 6 is 6.
    pub cone_position: f64,
    /// The same in words, `5.9` or `06 +0.7`.
    pub cone_reached: String,
    /// Greatest difference between skin and core of its thickest ware, K.
    pub skin_core_k: crate::TempDiff,
}

/// When the closed kiln has cooled to a temperature.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Cooled {
    /// Sensor and warmest ware are both below this, °C.
    pub below_c: Temperature,
    /// Since the start, s; `None` when the forecast ends before.
    pub time_s: Option<Span>,
}

/// Where the energy goes, J. Sums to what was drawn, to 0.1 %.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct EnergySplit {
    /// Through walls, floor and lid, until the end of the forecast.
    pub lost_j: Energy,
    /// By vent and leaks.
    pub vent_j: Energy,
    /// Left in lining, furniture and ware at the end of the forecast.
    pub stored_j: Energy,
    /// Water driven off and clay changed.
    pub reactions_j: Energy,
}

/// The forecast of one firing.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Forecast {
    /// The kiln keeps up with the programme and the reference zone gets its cone.
    pub feasible: bool,
    /// What the person should know: where it lags, what margin of power is left.
    pub notes: Vec<String>,
    /// From start to the end of the last hold, s.
    pub firing_s: Span,
    /// When each segment with its hold is over, s; those that are never reached are missing.
    pub segments_over_s: Vec<Span>,
    /// Highest that the sensor reads, °C.
    pub peak_c: Temperature,
    /// Energy drawn, J.
    pub energy_j: Energy,
    /// Highest mean power over a quarter of an hour, W.
    #[serde(default)]
    pub highest_w: Power,
    /// What it costs at the price of hours that have none of their own, without a price for the highest draw, hundredths of the currency.
    pub cost_cents: Money,
    /// Where it goes.
    pub split: EnergySplit,
    /// Zones from the floor up.
    pub zones: Vec<ZoneResult>,
    /// Cooling times.
    pub cooled: Vec<Cooled>,
    /// The curve.
    pub samples: Vec<Sample>,
    /// How sure all this is, once it is worked out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub doubt: Option<Doubt>,
    /// The cross-section at some moments.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub across: Option<Across>,
}

impl Forecast {
    /// Energy drawn since the start, by the time since the start.
    pub fn drawn(&self) -> Vec<(Span, Energy)> {
        self.samples
            .iter()
            .map(|s| (s.time_s, s.energy_j))
            .collect()
    }

    /// When the hold at the peak is over, by which time someone has to be there.
    pub fn peak_over(&self, plan: &FiringPlan) -> Option<Span> {
        self.segments_over_s.get(plan.peak()?).copied()
    }
}
