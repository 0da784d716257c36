//! What the guard says of a sample.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use glost_model::shown::{Shown, hours, trimmed};
use glost_model::{Energy, Power, Span, Temperature};

/// Part of a sample.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Its time, and with it all of it.
    Time,
    /// The controller's sensor.
    Sensor,
    /// The set point.
    SetPoint,
    /// The duty.
    Duty,
    /// The meter.
    Meter,
    /// A further sensor.
    Other(String),
}

impl Part {
    /// In a sentence.
    pub fn words(&self) -> String {
        match self {
            Self::Time => "the time".to_owned(),
            Self::Sensor => "the sensor".to_owned(),
            Self::SetPoint => "the set point".to_owned(),
            Self::Duty => "the duty".to_owned(),
            Self::Meter => "the meter".to_owned(),
            Self::Other(name) => format!("the sensor {name}"),
        }
    }
}

/// One remark.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Remark {
    /// What it is about.
    pub part: Part,
    /// The part was taken out of the sample; where the time is meant, all of it was.
    pub withheld: bool,
    /// What is odd.
    #[serde(flatten)]
    pub what: What,
}

/// What is odd.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "key", rename_all = "kebab-case")]
#[expect(missing_docs, reason = "`Remark::words` says what each means")]
pub enum What {
    Gap {
        from: Timestamp,
    },
    Doubled,
    ClockBack {
        latest: Timestamp,
        by: Span,
    },
    SummerTime {
        latest: Timestamp,
    },
    ClockLeapt {
        by: Span,
    },
    NoNumber,
    OutOfRange {
        found: Temperature,
    },
    MaybeFahrenheit {
        found: Temperature,
    },
    MaybeCelsius {
        found: Temperature,
    },
    Reversed {
        found: Temperature,
    },
    Spike {
        found: Temperature,
        before: Temperature,
    },
    NewLevel {
        found: Temperature,
        before: Temperature,
    },
    OpenCircuit {
        found: Temperature,
    },
    Stuck {
        found: Temperature,
        since: Timestamp,
    },
    Absent {
        since: Timestamp,
    },
    NameTwice,
    DutyOutOfRange {
        found: f64,
    },
    MeterBelowZero,
    MeterFell {
        by: Energy,
    },
    MeterLeapt {
        power: Power,
    },
}

impl Remark {
    /// What is odd and what to do, in the units of a person.
    pub fn words(&self, shown: Shown) -> (String, &'static str) {
        let part = self.part.words();
        let t = |t: &Temperature| shown.temperature(*t);
        match &self.what {
            What::Gap { from } => (
                format!("nothing was heard since {from}"),
                "What the kiln did meanwhile is not known; see why the source fell silent",
            ),
            What::Doubled => (
                "the sample is there twice".to_owned(),
                "Nothing; it is counted once",
            ),
            What::ClockBack { latest, by } => (
                format!("the clock went back by {}, to before {latest}", hours(*by)),
                "Let the logger keep UTC; until its time has passed the latest sample, its readings are not counted",
            ),
            What::SummerTime { latest } => (
                format!(
                    "the clock went back by about an hour, to before {latest}: the end of summer time?"
                ),
                "Let the logger keep UTC, or name its time zone in the layout",
            ),
            What::ClockLeapt { by } => (
                format!("the clock leapt forward by {}", hours(*by)),
                "Set the logger's clock before a firing; the sample counts once a second one agrees with its time",
            ),
            What::NoNumber => (format!("{part} is no number"), "See that it is connected"),
            What::OutOfRange { found } => (
                format!("{part} shows {}, which no kiln has", t(found)),
                "See that the sensor is connected, and that the layout has the unit of the display",
            ),
            What::MaybeFahrenheit { found } => (
                format!(
                    "{part} begins at {}: a kiln still warm, or °F taken for °C?",
                    t(found)
                ),
                "Compare with a thermometer; if the display shows °F, correct the unit in the layout",
            ),
            What::MaybeCelsius { found } => (
                format!(
                    "{part} begins at {}: a freezing room, or °C taken for °F?",
                    t(found)
                ),
                "Compare with a thermometer; if the display shows °C, correct the unit in the layout",
            ),
            What::Reversed { found } => (
                format!("{part} fell to {} where it should rise", t(found)),
                "The two wires of the thermocouple may be swapped: the kiln is hotter than shown. Stop the firing, and have the wiring seen to",
            ),
            What::Spike { found, before } => (
                format!("{part} leapt from {} to {}", t(before), t(found)),
                "If it happens often, have the sensor and its wires looked at",
            ),
            What::NewLevel { found, before } => (
                format!(
                    "{part} leapt from {} and stays about {}",
                    t(before),
                    t(found)
                ),
                "See whether the sensor was moved or the kiln opened; it is believed from here on",
            ),
            What::OpenCircuit { found } => (
                format!(
                    "{part} leapt to {} and stays there, as an open thermocouple does",
                    t(found)
                ),
                "The sensor may be broken: what the kiln has is not known. Look at the kiln, and stop it if the controller does not",
            ),
            What::Stuck { found, since } => (
                format!(
                    "{part} has shown {} since {since} while the set point moved on",
                    t(found)
                ),
                "Either the sensor does not measure or the kiln does not heat: look at it",
            ),
            What::Absent { since } => (
                format!("{part} tells nothing since {since}, while others go on"),
                "See that it is connected; no reading does not mean a cold kiln",
            ),
            What::NameTwice => (
                format!("{part} is there twice in one sample"),
                "Give each sensor its own name",
            ),
            What::DutyOutOfRange { found } => (
                format!("{part} is {}, not between 0 and 1", trimmed(*found, 3)),
                "If the source tells per cent, say so in its layout",
            ),
            What::MeterBelowZero => (
                format!("{part} is below zero"),
                "See that it is read as the meter writes it",
            ),
            What::MeterFell { by } => (
                format!(
                    "{part} fell by {} kWh: it began anew",
                    trimmed(by.to_kwh(), 1)
                ),
                "Nothing; energy is counted on from here, and what was drawn in between is not known",
            ),
            What::MeterLeapt { power } => (
                format!(
                    "{part} rose as if {} kW were drawn",
                    trimmed(power.to_kw(), 0)
                ),
                "See whether it is in kWh, and whether the meter counts this kiln alone",
            ),
        }
    }
}
