//! The sensor shows nothing that can be.

use super::{AlarmKind, Finding, Rule, View};

const SHOWS_S: f64 = 540.0;

pub const RULE: Rule = Rule {
    kind: AlarmKind::SensorOpen,
    id: "sensor-open",
    title: "The sensor shows nothing",
    limit: "no reading between −40 and 1450 °C for 9 min where there was one",
    reason: "A thermocouple that breaks, or whose wire comes off, leaves the controller blind. A lost signal does not mean that the kiln is off.",
    source: "common practice of controllers, no source; time proposed here",
    look_at: &[
        "Is the kiln off? Most controllers stop then; one that does not is to be switched off at the isolator.",
        "Thermocouple wire at the block and at the controller.",
        "Link from the controller to Glost, if its own display still shows a temperature.",
    ],
    remedy: "What is shown until then is what the programme would do. End by witness cones, or end the firing.",
    stays: false,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let open = view.all_lately(SHOWS_S, |s| s.reading_k.is_none());
    (open && view.batch.bad > 0).then(|| Finding {
        since_s: view
            .lately(SHOWS_S)
            .first()
            .map_or(view.now_s, |s| s.to_s - s.long_s),
        how_sure: 0.97,
        words: "The log goes on without a reading of the sensor, or with one that cannot be."
            .into(),
    })
}
