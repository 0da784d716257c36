//! The sensor shows the same whatever happens.

use super::super::track::Phase;
use super::{AlarmKind, Finding, Rule, View};

/// The same to the last digit for this long, s, and so often.
const SAME_S: f64 = 1500.0;
const TIMES: usize = 5;
/// While it ought to have changed by this, K.
const OUGHT_K: f64 = 12.0;

pub const RULE: Rule = Rule {
    kind: AlarmKind::SensorFrozen,
    id: "sensor-frozen",
    title: "The sensor's reading is frozen",
    limit: "the same to the last digit for 25 min while the set point is 12 K away, or while a hot kiln is off",
    reason: "A link or a converter that hangs repeats its last reading.",
    source: "proposed here",
    look_at: &[
        "Does the controller's own display change?",
        "Link from the controller to Glost; time of the last reading.",
    ],
    remedy: "Restart the link. If the display itself is frozen, switch the kiln off at the isolator.",
    stays: false,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let (since_s, times) = view.batch.same;
    let now = view.now()?;
    let reading = now.reading_k?;
    if view.now_s - since_s < SAME_S || times < TIMES {
        return None;
    }
    let away = now.lag_k().is_some_and(|l| l.abs() >= OUGHT_K) && now.set_told;
    let off = now.phase == Phase::Over && reading > view.input.room.to_k() + 150.0;
    let full = now
        .asked
        .is_some_and(|a| a.told && (a.now > 0.95 || a.now < 0.02))
        && reading > view.input.room.to_k() + 150.0;
    (away || off || full).then(|| Finding {
        since_s,
        how_sure: 0.9,
        words: format!(
            "The sensor has shown {} for {}.",
            view.temperature(reading),
            glost_model::shown::hours(glost_model::Span::s(view.now_s - since_s))
        ),
    })
}
