//! It gets more heat-work than its cone asks for.

use super::element::short;
use super::{AlarmKind, Finding, Rule, View};

/// Beyond the wanted cone, and beyond what the plan itself leads to, by this, in cones.
pub const OVER: f64 = 0.5;
/// Deviations of what is foreseen that are left to doubt.
const DOUBT: f64 = 1.8;
/// What the model leaves out of a cone, one deviation, in cones: as forecasts are off after many firings, and before any.
const MODEL: f64 = 0.2;
const MODEL_UNKNOWN: f64 = 0.4;
/// A kiln that falls and takes less than this share is off, whatever is worked out of its programme.
const OFF: f64 = 0.2;

pub const RULE: Rule = Rule {
    kind: AlarmKind::OverFiring,
    id: "over-firing",
    title: "It will be over-fired",
    limit: "the middle of the kiln is foreseen to pass its cone by half a cone, and what the plan leads to as well",
    reason: "Glazes run, bodies bloat and slump; nothing brings that back.",
    source: "band of ±½ cone: common practice, no source",
    look_at: &[
        "Witness cones now, through shaded glasses.",
        "What the controller says of peak and hold; has it ended?",
    ],
    remedy: "End the firing now if the cones agree.",
    stays: false,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let near = view.near?;
    let now = view.now()?;
    // Once its controller asks for nothing there is nothing left to end.
    if now.off() || now.share < OFF && now.rate < 0.0 {
        return None;
    }
    let wanted = view.plan.cone.position();
    let model = if view.known { MODEL } else { MODEL_UNKNOWN };
    let deviation = near.deviation.hypot(model);
    let least = near.cone - DOUBT * deviation;
    (least > wanted + OVER && near.cone > near.planned + OVER).then(|| Finding {
        since_s: view.now_s,
        how_sure: 0.85,
        words: format!(
            "Cone {} is wanted; {} is on its way to {}. {}",
            view.plan.cone,
            // Who lost a ring is uneven, and slow: where its elements still heat, its cones go further.
            if short(view).is_some() {
                "the side of the kiln whose elements still heat"
            } else {
                "the middle of the kiln"
            },
            crate::Place::At(near.cone),
            (view.so_far)()
        ),
    })
}
