//! It cools faster than the ware stands.

use super::super::track::Phase;
use super::{AlarmKind, Finding, Rule, View};
use crate::firing::cooling_limits;

/// Beyond the limit by this share and this much, K/s: limits of stress are known no better.
const SHARE: f64 = 1.25;
const MORE: f64 = 10.0 / 3600.0;
const OVER_S: f64 = 840.0;

pub const RULE: Rule = Rule {
    kind: AlarmKind::CoolingFast,
    id: "cooling-fast",
    title: "It cools too fast for its thickest ware",
    limit: "ware falls a quarter faster through 593 to 553 °C, or 240 to 200 °C, than its thickest wall bears",
    reason: "Quartz shrinks at 573 °C and cristobalite near 220 °C; a wall whose skin has shrunk before its core is pulled apart (dunting).",
    source: "Kingery 1955 (plate under thermal stress); strength and expansion from memory",
    look_at: &[
        "Lid, door and plugs shut? A vent fan that still runs?",
        "Draught from an open window onto the kiln.",
    ],
    remedy: "Shut everything. Let the thickest ware cool by itself; listen for it to ring, and look for sharp cracks when you unload.",
    stays: false,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let now = view.now()?;
    if now.phase != Phase::Over && now.rate >= 0.0 {
        return None;
    }
    let these = view.lately(OVER_S);
    let first = these.first()?;
    let long_s = now.to_s - first.to_s;
    if long_s < OVER_S * 0.5 || these.iter().any(|s| s.coasted) {
        return None;
    }
    let limits = cooling_limits(view.input);
    let zones = now.ware_k.iter().zip(&first.ware_k);
    zones
        .flat_map(|(k, before)| limits.iter().map(move |l| (k, before, l)))
        .find_map(|(k, before, limit)| {
            let middle = (k + before) / 2.0;
            let falls = (before - k) / long_s;
            let most = limit.k_per_s * SHARE + MORE;
            ((limit.to_k..=limit.from_k).contains(&middle) && falls > most).then(|| Finding {
                since_s: first.to_s,
                how_sure: 0.8,
                words: format!(
                    "Ware falls by {} near {}; its thickest wall bears {}.",
                    view.rate(falls),
                    view.temperature(*k),
                    view.rate(limit.k_per_s)
                ),
            })
        })
}
