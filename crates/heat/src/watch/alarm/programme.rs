//! The controller runs another programme than the plan.

use super::super::track::Phase;
use super::{AlarmKind, Finding, Rule, View};

/// A set point, or a sensor, beyond the highest target of the plan by this, K.
const BEYOND_K: f64 = 15.0;
/// Faster than the plan by this share and this much, K/s, for so long, s.
const FASTER: f64 = 1.3;
const MORE: f64 = 20.0 / 3600.0;
const LONG_S: f64 = 1500.0;
/// Held steady where the plan climbs: no more than this, K/s, this far below where the plan is, K.
const STEADY: f64 = 4.0 / 3600.0;
const BEHIND_K: f64 = 8.0;
/// A target of the plan as near as this, K, is where it may hold.
const TARGET_K: f64 = 10.0;

pub const RULE: Rule = Rule {
    kind: AlarmKind::WrongProgramme,
    id: "wrong-programme",
    title: "The controller runs another programme",
    limit: "set point 15 K beyond the highest target, a ramp a third faster than planned, or a hold where none is planned, for 25 min",
    reason: "06 and 6 are 220 K apart, and a number typed wrong or a programme of last week melts a load.",
    source: "named first among the pains of shared kilns; limits proposed here",
    look_at: &[
        "Programme in the controller, segment by segment, beside the firing plan.",
        "Cone: 06 is not 6.",
        "If it was changed on purpose: enter the new segments, and the forecast follows.",
    ],
    remedy: "Put it right now if it is hotter or faster than planned; a firing that was too cool can be done again.",
    stays: false,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let now = view.now()?;
    let highest = view.highest_k();
    let found = |since_s: f64, words: String| {
        Some(Finding {
            since_s,
            how_sure: 0.9,
            words,
        })
    };
    let begins = |for_s: f64| {
        view.lately(for_s)
            .first()
            .map_or(view.now_s, |s| s.to_s - s.long_s)
    };
    if view.all_lately(540.0, |s| s.set_told && s.set_k > highest + BEYOND_K) {
        return found(
            begins(540.0),
            format!(
                "The set point is {}; the highest of the plan is {}.",
                view.temperature(now.set_k),
                view.temperature(highest)
            ),
        );
    }
    let planned = now.planned.filter(|p| *p > 0.0);
    let ramps = |s: &super::Stretch| {
        s.phase == Phase::Ramp && s.segment == now.segment && !s.coasted && s.reading_k.is_some()
    };
    if let Some(planned) = planned
        && view.all_lately(LONG_S, |s| ramps(s) && s.rate > planned * FASTER + MORE)
    {
        return found(
            begins(LONG_S),
            format!(
                "The kiln climbs by {}; the plan has {} here.",
                view.rate(now.rate),
                view.rate(planned)
            ),
        );
    }
    let near_target = |k: f64| {
        let targets = view.plan.segments.iter().map(|s| s.target.to_k());
        targets.into_iter().any(|t| (t - k).abs() < TARGET_K)
    };
    let steady = |s: &super::Stretch| {
        let power = s.share > 0.05 && s.asked.is_none_or(|a| !a.told || a.now < 0.9);
        let behind = s.set_told || s.lag_k().is_some_and(|l| l > BEHIND_K);
        ramps(s) && s.rate.abs() < STEADY && power && behind
    };
    let told_flat = {
        let these = view.lately(LONG_S);
        let span = these.iter().map(|s| s.set_k);
        let (low, high) = span.fold((f64::INFINITY, 0.0), |(a, b): (f64, f64), k| {
            (a.min(k), b.max(k))
        });
        !now.set_told || high - low < 1.5
    };
    let reading = now.reading_k?;
    // A stalled kiln stands still too; it takes all of its power.
    if planned.is_some()
        && told_flat
        && view.all_lately(LONG_S, steady)
        && !near_target(if now.set_told { now.set_k } else { reading })
    {
        return found(
            begins(LONG_S),
            format!(
                "The kiln holds at {}; the plan climbs here.",
                view.temperature(reading)
            ),
        );
    }
    None
}
