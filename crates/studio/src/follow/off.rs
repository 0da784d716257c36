//! What an alarm is worth once people have written down that the kiln is off.

use std::sync::Arc;

use glost_heat::watch::{AlarmKind, Estimate};

/// Those of a programme that runs are over with it: nobody ends a firing twice, and a kiln that is off takes no power.
const fn counts(kind: AlarmKind) -> bool {
    use AlarmKind::{ElementOut, MainsLow, OverFiring, PowerCut, Stalled, WrongProgramme};
    !matches!(
        kind,
        ElementOut | MainsLow | OverFiring | PowerCut | Stalled | WrongProgramme
    )
}

/// The estimate without what only a kiln that is on can have.
pub(super) fn of(estimate: &Arc<Estimate>) -> Arc<Estimate> {
    if estimate.alarms.iter().all(|a| counts(a.kind)) {
        return Arc::clone(estimate);
    }
    let mut off = Estimate::clone(estimate);
    off.alarms.retain(|a| counts(a.kind));
    Arc::new(off)
}
