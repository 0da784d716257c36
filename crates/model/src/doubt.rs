//! How sure a forecast is: what it would be for kilns that differ from this one by what nobody has measured, and how
//! much power is in hand.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::cone::Cone;
use crate::quantity::{Energy, Money, Span, Temperature};
use crate::shown::Shown;

/// One in ten draws is below `low`, half are below `middle`, nine in ten below `high`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Band<T> {
    /// 10 % of the draws.
    pub low: T,
    /// 50 %.
    pub middle: T,
    /// 90 %.
    pub high: T,
}

/// A band of times since the start, s; `None` where so many draws never come that far.
pub type TimeBand = Band<Option<Span>>;

impl<T> Band<T> {
    /// The same band of something that follows from it.
    pub fn map<U>(self, of: impl Fn(T) -> U) -> Band<U> {
        Band {
            low: of(self.low),
            middle: of(self.middle),
            high: of(self.high),
        }
    }
}

/// What a zone of the kiln receives.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ZoneDoubt {
    /// Names of the tiers in it, as in the forecast.
    pub tiers: String,
    /// Cone reached on the ladder: 022 is −21, 01 is 0, 6 is 6.
    pub cone_position: Band<f64>,
    /// Draws in which it falls short of the cone by more than half a cone.
    pub short: u32,
    /// Draws in which it goes past the cone by more than half a cone.
    pub past: u32,
}

/// The spread of temperatures at one instant.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BandAt {
    /// Since the start, s.
    pub time_s: Span,
    /// What the sensor reads, °C.
    pub sensor_c: Band<Temperature>,
    /// Ware of the zone in the middle of the kiln, °C.
    pub ware_c: Band<Temperature>,
}

/// Where power no longer suffices.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PowerLimit {
    /// Power over that which the kiln has now; above 1 it has too little already.
    pub power: f64,
    /// Resistance of the elements over that when new at which it is so, at the mains voltage of the nameplate.
    pub ageing: f64,
    /// Mains voltage over that of the nameplate at which it is so, with the elements as they are.
    pub mains: f64,
    /// The kiln stalls there, with its sensor at this at most, °C.
    pub stalls_c: Option<Temperature>,
}

/// Whether a limit was found.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Limit {
    /// Half of its power would still do.
    Far,
    /// From here on it no longer does.
    At(PowerLimit),
    /// Half as much power again would not do either: it is not for want of power.
    Never,
}

/// How much power the kiln has in hand for a programme.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Margin {
    /// Resistance of the elements over that when new, now.
    pub ageing: f64,
    /// Until here it keeps the programme's times.
    pub keeps: Limit,
    /// Until here the middle of the kiln still gets its cone.
    pub reaches: Limit,
}

/// What a forecast is worth: the same firing plan in kilns drawn from what is known of this one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Doubt {
    /// How many kilns were drawn.
    pub draws: u32,
    /// Seed of the draws.
    pub seed: u64,
    /// The hold at the peak is over, s since the start.
    pub peak_over_s: TimeBand,
    /// The programme is over, s since the start.
    pub over_s: TimeBand,
    /// The closed kiln may be opened, s since the start.
    pub open_s: TimeBand,
    /// It may be opened when sensor and ware are below this, °C.
    pub open_below_c: Temperature,
    /// Energy drawn, J.
    pub energy_j: Band<Energy>,
    /// What it costs at the price of hours that have none of their own, hundredths of the currency; `None` where
    /// energy has no price.
    pub cost_cents: Option<Band<Money>>,
    /// Zones from the floor up.
    pub zones: Vec<ZoneDoubt>,
    /// Draws in which the programme never ends, or the middle of the kiln falls short of the cone by more than
    /// half a cone.
    pub missed: u32,
    /// The spread of temperatures over time, at most 200 instants.
    pub curve: Vec<BandAt>,
    /// Power in hand.
    pub margin: Margin,
}

impl Doubt {
    /// Lowest and highest that the sensor reads in eight of ten, by the time.
    pub fn sensor_band(&self) -> Vec<(Span, Temperature, Temperature)> {
        let at = |b: &BandAt| (b.time_s, b.sensor_c.low, b.sensor_c.high);
        self.curve.iter().map(at).collect()
    }
}

impl PowerLimit {
    /// `its elements at +12 %, or 4 % under its voltage`.
    fn when(&self) -> String {
        let age = (self.ageing - 1.0) * 100.0;
        let low = (1.0 - self.mains) * 100.0;
        format!("its elements at {age:+.0} %, or {low:.0} % under its voltage,")
    }

    /// `it would take 7 % more power`, and whether younger elements would give it.
    fn lacks(&self) -> String {
        let more = (self.power - 1.0) * 100.0;
        if self.ageing >= 1.0 {
            let age = (self.ageing - 1.0) * 100.0;
            format!("it would take {more:.0} % more, as with elements at {age:+.0} %")
        } else {
            format!("it would take {more:.0} % more, which not even new elements give")
        }
    }
}

impl Margin {
    /// In sentences. +12 %: the elements have 1.12 times the resistance that they had when new.
    pub fn words(&self, cone: Cone, shown: Shown) -> Vec<String> {
        let now = format!("elements now at {:+.0} %", (self.ageing - 1.0) * 100.0);
        let keeps = match &self.keeps {
            Limit::Far => "Half of its power would still keep the times of this programme.".into(),
            Limit::Never => {
                "Not even half as much power again would keep the times of this programme.".into()
            }
            Limit::At(l) if l.power > 1.0 => format!(
                "This kiln lacks power for the times of this programme: {}.",
                l.lacks()
            ),
            Limit::At(l) => format!(
                "With {} this kiln no longer keeps the times of this programme ({now}).",
                l.when()
            ),
        };
        let reaches = match &self.reaches {
            Limit::Far => None,
            Limit::Never => Some(format!(
                "More power would not bring it to cone {cone}: the programme asks for too little heat."
            )),
            Limit::At(l) if l.power > 1.0 => Some(format!(
                "It lacks power to reach cone {cone} by this programme: {}.",
                l.lacks()
            )),
            Limit::At(l) => {
                let stalls = l.stalls_c.map_or_else(String::new, |t| {
                    format!("; it stalls at {}", shown.temperature(t))
                });
                Some(format!(
                    "With {} it no longer reaches cone {cone} by this programme{stalls}.",
                    l.when()
                ))
            }
        };
        std::iter::once(keeps).chain(reaches).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn power_in_hand_is_said_in_percent() {
        let at = |power: f64| {
            Limit::At(PowerLimit {
                power,
                ageing: 1.03 / power,
                mains: power.sqrt(),
                stalls_c: (power < 0.9).then(|| Temperature::c(1204.0)),
            })
        };
        let words = |keeps, reaches| {
            let margin = Margin {
                ageing: 1.03,
                keeps,
                reaches,
            };
            let cone = Cone::parse("6").unwrap();
            margin.words(cone, Shown::default()).join(" ")
        };
        assert_eq!(
            words(at(0.92), at(0.8)),
            "With its elements at +12 %, or 4 % under its voltage, this kiln no longer keeps the times of this programme (elements now at +3 %). With its elements at +29 %, or 11 % under its voltage, it no longer reaches cone 6 by this programme; it stalls at 1204 °C."
        );
        assert_eq!(
            words(at(1.02), Limit::Far),
            "This kiln lacks power for the times of this programme: it would take 2 % more, as with elements at +1 %."
        );
        assert!(words(at(1.2), at(1.1)).contains("not even new elements"));
        assert!(words(Limit::Never, Limit::Never).contains("too little heat"));
    }

    #[test]
    fn bands_are_carried_over() {
        let band = Band {
            low: 1.0,
            middle: 2.0,
            high: 4.0,
        };
        assert_eq!(band.map(|x| x * 2.0).high.to_string(), "8");
    }
}
