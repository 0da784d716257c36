//! What instruments tell of a kiln while it fires.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use crate::{Energy, Temperature};

/// What was read at one moment. Anything may be absent: a display gives a person one number, a controller's log six.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Sample {
    /// When.
    pub at: Timestamp,
    /// The controller's sensor.
    #[serde(rename = "sensor_c", default, skip_serializing_if = "Option::is_none")]
    pub sensor: Option<Temperature>,
    /// What the controller wants the sensor to show.
    #[serde(
        rename = "set_point_c",
        default,
        skip_serializing_if = "Option::is_none"
    )]
    pub set_point: Option<Temperature>,
    /// Share of full power that the controller asked for since the sample before, 0 to 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub duty: Option<f64>,
    /// What the energy meter shows; only differences mean something.
    #[serde(rename = "meter_j", default, skip_serializing_if = "Option::is_none")]
    pub meter: Option<Energy>,
    /// Further sensors by the name that the studio gave them.
    #[serde(rename = "others_c", default, skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<(String, Temperature)>,
}

impl Sample {
    /// A reading of the controller's sensor alone.
    pub fn of_sensor(at: Timestamp, sensor: Temperature) -> Self {
        Self {
            at,
            sensor: Some(sensor),
            set_point: None,
            duty: None,
            meter: None,
            others: Vec::new(),
        }
    }
}
