//! At full power the kiln gains nothing.

use super::super::track::Phase;
use super::{AlarmKind, Finding, Rule, View};

/// Less than this in this time, K and s: as in forecasts.
const GAINS_K: f64 = 5.0;
const STALL_S: f64 = 3600.0;

pub const RULE: Rule = Rule {
    kind: AlarmKind::Stalled,
    id: "stalled",
    title: "The kiln has stalled",
    limit: "asked for all of its power it gains less than 5 K in an hour",
    reason: "Walls lose what the elements give. Waiting does not help; each hour costs a full load of energy.",
    source: "common practice, no source",
    look_at: &[
        "Dark coils through the peepholes, with shaded glasses.",
        "Mains voltage under load; lid and plugs shut.",
        "Heat-work so far: a long stall near the peak may have done what a higher peak would have.",
    ],
    remedy: "End when the witness cones have what they need, or end now and refire after the cause is mended.",
    stays: false,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let now = view.now()?;
    if now.phase == Phase::Over {
        return None;
    }
    let full = view.all_lately(STALL_S, |s| {
        s.asked.is_some_and(|a| a.now > 0.95) && s.reading_k.is_some() && !s.coasted
    });
    let first = view.lately(STALL_S).first()?.reading_k?;
    let reading = now.reading_k?;
    (full && (reading - first).abs() < GAINS_K).then(|| Finding {
        since_s: view.now_s - STALL_S,
        how_sure: 0.9,
        words: format!(
            "Full power holds the kiln at {} and no more. {}",
            view.temperature(reading),
            (view.so_far)()
        ),
    })
}
