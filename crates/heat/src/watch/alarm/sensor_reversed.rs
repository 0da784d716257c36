//! The sensor's wires are swapped.

use super::{AlarmKind, Finding, Rule, View};

/// Falls by this below where it began, K, before it has ever risen by as much.
const FALLS_K: f64 = 6.0;
/// Within this time, s.
const EARLY_S: f64 = 3.0 * 3600.0;

pub const RULE: Rule = Rule {
    kind: AlarmKind::SensorReversed,
    id: "sensor-reversed",
    title: "The sensor counts backwards",
    limit: "in its first hours the sensor falls by 6 K below where it began and has not risen by as much before",
    reason: "With its two wires swapped a thermocouple shows less the hotter it gets, and the controller gives full power to a kiln that seems to cool.",
    source: "how thermocouples work; limit proposed here",
    look_at: &[
        "Switch the kiln off at the isolator now.",
        "Colours of the thermocouple's wires at both ends.",
    ],
    remedy: "Swap the wires with the kiln isolated and cold. Ware that was heated unseen may have burst.",
    stays: true,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let now = view.now()?;
    let reading = now.reading_k?;
    let rose = view
        .past
        .iter()
        .filter_map(|s| s.reading_k)
        .any(|k| k > view.first_k + FALLS_K);
    // A warm kiln may cool at first; one at the room's temperature cannot.
    let room = view.input.room.to_k();
    let cold = view.first_k < room + 15.0;
    let falls = reading < view.first_k.min(room + 5.0) - FALLS_K;
    (view.now_s < EARLY_S && cold && falls && !rose).then(|| Finding {
        since_s: 0.0,
        how_sure: 0.9,
        words: format!(
            "The kiln is on and its sensor has fallen from {} to {}.",
            view.temperature(view.first_k),
            view.temperature(reading)
        ),
    })
}
