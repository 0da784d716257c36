//! What to expect of a firing.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::across::Across;
use crate::doubt::Doubt;
use crate::firing::{FiringPlan, HandStep};
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

    /// How long the sensor reads more than this, by the samples of the curve.
    pub fn above(&self, limit: Temperature) -> Span {
        let pairs = self.samples.windows(2);
        pairs
            .filter(|w| w[0].sensor_c > limit && w[1].sensor_c > limit)
            .map(|w| w[1].time_s - w[0].time_s)
            .sum()
    }

    /// When the hold at the peak is over, by which time someone has to be there.
    pub fn peak_over(&self, plan: &FiringPlan) -> Option<Span> {
        self.segments_over_s.get(plan.peak()?).copied()
    }

    /// When the drying at the start of the plan is over: its first segments, up to a little above boiling.
    pub fn dry(&self, plan: &FiringPlan) -> Option<Span> {
        let low = |s: &&crate::firing::Segment| s.target <= Temperature::c(130.0);
        let count = plan.segments.iter().take_while(low).count();
        self.segments_over_s.get(count.checked_sub(1)?).copied()
    }

    /// When the closed kiln may be opened, of [`Self::cooled`]: plugs out, ajar, open, unload.
    pub fn may_open(&self) -> Option<&Cooled> {
        self.cooled.get(2)
    }

    /// When a step by hand is due: the sensor passes its temperature, on the way up or, after its highest, down.
    /// `None` when it never does.
    pub fn due(&self, step: &HandStep) -> Option<Span> {
        if step.at_start() {
            return Some(Span::ZERO);
        }
        let hotter = |a: &(usize, &Sample), b: &(usize, &Sample)| {
            a.1.sensor_c.to_k().total_cmp(&b.1.sensor_c.to_k())
        };
        let (peak, _) = self.samples.iter().enumerate().max_by(hotter)?;
        let (up, down) = self.samples.split_at(peak + 1);
        let (ahead, before) = if step.cooling {
            (down, up.last())
        } else {
            (up, None)
        };
        let past = |s: &&Sample| {
            if step.cooling {
                s.sensor_c <= step.at
            } else {
                s.sensor_c >= step.at
            }
        };
        let at = ahead.iter().position(|s| past(&s))?;
        let here = ahead.get(at)?;
        let last = at.checked_sub(1).and_then(|i| ahead.get(i)).or(before);
        let Some(last) = last else {
            return Some(here.time_s);
        };
        let whole = here.sensor_c - last.sensor_c;
        let share = (step.at - last.sensor_c) / whole;
        let share = if share.is_finite() {
            share.clamp(0.0, 1.0)
        } else {
            1.0
        };
        Some(last.time_s + (here.time_s - last.time_s) * share)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn forecast(sensor: &[f64]) -> Forecast {
        let sample = |(i, c): (usize, &f64)| Sample {
            time_s: Span::h(i as f64),
            set_point_c: None,
            sensor_c: Temperature::c(*c),
            element_c: Temperature::c(*c),
            ware_c: Vec::new(),
            power_w: Power::ZERO,
            energy_j: Energy::ZERO,
        };
        Forecast {
            feasible: true,
            notes: Vec::new(),
            firing_s: Span::ZERO,
            segments_over_s: Vec::new(),
            peak_c: Temperature::c(0.0),
            energy_j: Energy::ZERO,
            highest_w: Power::ZERO,
            cost_cents: Money::cents(0),
            split: EnergySplit {
                lost_j: Energy::ZERO,
                vent_j: Energy::ZERO,
                stored_j: Energy::ZERO,
                reactions_j: Energy::ZERO,
            },
            zones: Vec::new(),
            cooled: Vec::new(),
            samples: sensor.iter().enumerate().map(sample).collect(),
            across: None,
            doubt: None,
        }
    }

    #[test]
    fn a_forecast_without_a_cross_section_is_read() {
        let old = forecast(&[20.0, 30.0]);
        let text = serde_json::to_string(&old).unwrap();
        assert!(!text.contains("across"));
        assert_eq!(serde_json::from_str::<Forecast>(&text).unwrap(), old);
    }

    #[test]
    fn drying_is_over_with_the_last_segment_that_stays_low() {
        let segment = |c: f64| crate::firing::Segment {
            rate: None,
            target: Temperature::c(c),
            hold: Span::ZERO,
            reason: String::new(),
        };
        let mut plan = FiringPlan {
            cone: crate::cone::Cone::parse("6").unwrap(),
            segments: [88.0, 120.0, 600.0].map(segment).into(),
            hand_steps: Vec::new(),
            notes: Vec::new(),
            aim: crate::firing::Aim::default(),
            drop_hold: None,
        };
        let mut curve = forecast(&[20.0]);
        curve.segments_over_s = [1.0, 2.0, 5.0].map(Span::h).into();
        assert_eq!(curve.dry(&plan), Some(Span::h(2.0)));
        plan.segments.remove(0);
        plan.segments.remove(0);
        assert_eq!(curve.dry(&plan), None);
    }

    #[test]
    fn a_step_is_due_when_the_sensor_passes_its_temperature() {
        let curve = forecast(&[20.0, 220.0, 1020.0, 1000.0, 600.0, 100.0]);
        let due = |c: f64, cooling: bool| {
            let step = HandStep {
                at: Temperature::c(c),
                cooling,
                step: String::new(),
            };
            curve.due(&step).map(Span::to_h)
        };
        assert_eq!(due(20.0, false), Some(0.0));
        assert_eq!(due(120.0, false), Some(0.5));
        assert_eq!(due(620.0, false), Some(1.5));
        assert_eq!(due(800.0, true), Some(3.5));
        assert_eq!(due(1010.0, true), Some(2.5));
        assert_eq!(due(50.0, true), None);
        assert_eq!(due(1100.0, false), None);
    }
}
