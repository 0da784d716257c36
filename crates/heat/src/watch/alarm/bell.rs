//! Which alarms are on, when they begin and when they end.

use std::collections::BTreeMap;

use super::{ALL, Alarm, AlarmKind, Finding, HIDES, Stretch, View};

/// An alarm whose cause no longer shows for this long has ended, s.
const QUIET_S: f64 = 1500.0;

/// While the first is on, what looks like the second is still the first: how much power lacks wavers about the limit
/// between the two, and nobody is told of one fault ten times.
const KEEPS: [(AlarmKind, AlarmKind); 1] = [(AlarmKind::ElementOut, AlarmKind::MainsLow)];

/// Nothing of these is told anew once the controller asks for nothing: what they are about showed before.
const NEED_POWER: [AlarmKind; 2] = [AlarmKind::ElementOut, AlarmKind::MainsLow];

/// One that is on.
#[derive(Debug, Clone)]
struct On {
    found: Finding,
    last_s: f64,
}

/// All of them.
#[derive(Debug, Clone, Default)]
pub struct Bell {
    on: BTreeMap<AlarmKind, On>,
}

/// What changed.
#[derive(Debug, Clone, Default)]
pub struct Rings {
    pub began: Vec<AlarmKind>,
    pub ended: Vec<AlarmKind>,
}

impl Bell {
    /// Looks at a firing.
    pub fn look(&mut self, view: &View<'_>) -> Rings {
        let mut rings = Rings::default();
        let off = view.now().is_some_and(Stretch::off);
        for (rule, judge) in ALL {
            let wavers = KEEPS.iter().find(|(_, by)| *by == rule.kind);
            if let Some(on) = wavers.and_then(|(kept, _)| self.on.get_mut(kept)) {
                if judge(view).is_some() {
                    on.last_s = view.now_s;
                }
                if self.on.remove(&rule.kind).is_some() {
                    rings.ended.push(rule.kind);
                }
                continue;
            }
            let hidden = HIDES
                .iter()
                .any(|(by, these)| self.is_on(*by) && these.contains(&rule.kind));
            if hidden && !self.is_on(rule.kind) {
                continue;
            }
            let found = judge(view).filter(|_| !hidden);
            match (self.on.get_mut(&rule.kind), found) {
                (Some(on), Some(mut found)) => {
                    found.since_s = found.since_s.min(on.found.since_s);
                    on.found = found;
                    on.last_s = view.now_s;
                }
                (None, Some(_)) if off && NEED_POWER.contains(&rule.kind) => {}
                (None, Some(found)) => {
                    let last_s = view.now_s;
                    self.on.insert(rule.kind, On { found, last_s });
                    rings.began.push(rule.kind);
                }
                (Some(on), None) => {
                    if !rule.stays && view.now_s - on.last_s >= QUIET_S {
                        self.on.remove(&rule.kind);
                        rings.ended.push(rule.kind);
                    }
                }
                (None, None) => {}
            }
        }
        rings
    }

    /// How many are on.
    pub fn count(&self) -> usize {
        self.on.len()
    }

    /// Whether one is on.
    pub fn is_on(&self, kind: AlarmKind) -> bool {
        self.on.contains_key(&kind)
    }

    /// Those that are on, the gravest first.
    pub fn alarms(&self, at: impl Fn(f64) -> jiff::Timestamp) -> Vec<Alarm> {
        let on = ALL.iter().filter_map(|(rule, _)| {
            let On { found, .. } = self.on.get(&rule.kind)?;
            Some(Alarm {
                kind: rule.kind,
                since: at(found.since_s),
                how_sure: found.how_sure,
                words: found.words.clone(),
                look_at: rule.look_at,
                remedy: rule.remedy,
            })
        });
        on.collect()
    }
}
