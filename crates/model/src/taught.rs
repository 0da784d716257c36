//! What a kiln's own firings taught of it, as plans use it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Where a kiln lies along each thing that nobody measured, and how sure that is, by its own firings. Only the kiln model
/// can read what the ids mean; one that does not know them all takes the kiln as its record says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Taught {
    /// Of the way of learning.
    pub version: u32,
    /// Counts up each time the kiln's firings are learnt from.
    pub edition: u32,
    /// Firings that were learnt from.
    pub firings: u32,
    /// Ids of what is known, in order.
    pub ids: Vec<String>,
    /// Where the kiln is along each, in the unit of its prior.
    pub mean: Vec<f64>,
    /// Covariance in its next firing, in the same order.
    pub covariance: Vec<Vec<f64>>,
    /// Ageing of the elements that the kiln was said to have then; what was learnt of its power is beside it.
    pub ageing: f64,
    /// How good forecasts were of firings not yet learnt from, in words; empty before the second.
    pub foretold: String,
}
