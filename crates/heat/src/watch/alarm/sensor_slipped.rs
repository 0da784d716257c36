//! The sensor is no longer where the heat is.

use super::super::track::Phase;
use super::view::JUMP_K;
use super::{AlarmKind, Finding, Rule, View};

const DECIDES_S: f64 = 1200.0;
const LOOKS_S: f64 = 3.0 * 3600.0;
/// Misfit after the fall up to which the kiln itself is as it was.
const SAME: f64 = 0.15;

pub const RULE: Rule = Rule {
    kind: AlarmKind::SensorSlipped,
    id: "sensor-slipped",
    title: "The sensor has slipped",
    limit: "the sensor falls faster than a shut kiln can, and 20 min later the kiln takes no more power than before",
    reason: "A thermocouple that is knocked or slides back reads the wall. The controller believes it and fires the kiln hotter than it knows.",
    source: "limits set on synthetic kilns",
    look_at: &[
        "Does the thermocouple stick in as far as it did, from outside? Screws and block tight?",
        "Colour of the kiln through the peephole, with shaded glasses, beside what the sensor shows.",
        "Witness cones: they do not lie.",
    ],
    remedy: "Do not trust the sensor: end by the cones, or end the firing now. Push nothing in while the kiln is on; switch off at the isolator first.",
    stays: true,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let now = view.now()?;
    let fall = view.sudden_fall(LOOKS_S)?;
    if now.phase == Phase::Over || view.now_s - fall.to_s < DECIDES_S {
        return None;
    }
    // Nobody looks at a sensor of a kiln that is off; draughts make it fall.
    if fall.asked.is_some_and(|a| a.smooth < 0.05) {
        return None;
    }
    // One that fell and came back as suddenly was an open lid, or noise.
    let before = view.past.iter().rfind(|s| s.to_s < fall.to_s - 1.0)?;
    let same = view.more_asked_since(fall).is_some_and(|m| m.abs() < SAME);
    let back = view
        .past
        .iter()
        .any(|s| s.to_s > fall.to_s && (s.share > 1.35 || s.jump_k > JUMP_K));
    (same && !back).then(|| Finding {
        since_s: fall.to_s - fall.long_s,
        how_sure: 0.85,
        words: format!(
            "The sensor fell from {} to {} faster than a shut kiln can, and the kiln takes as much power as before.",
            view.temperature(before.reading_k.unwrap_or_default()),
            view.temperature(fall.reading_k.unwrap_or_default())
        ),
    })
}
