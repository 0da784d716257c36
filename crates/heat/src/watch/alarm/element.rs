//! Elements, or the relays that switch them, give less than is asked of them.

use super::super::evidence::{Fault, Sign};
use super::{AlarmKind, Finding, Rule, View, sure};

/// From this share on it is more than low mains make: 14 % less voltage is 26 % less power; one of three bands is 33 %.
pub const ELEMENT: f64 = 0.26;
/// Likelier than without by this, in the logarithm, and smaller than so many of its standard deviations not at all. Set on kilns unlike the model, seeds 101 and 103 of [`super::super::trial`].
const GAIN: f64 = 10.0;
const DEVIATIONS: f64 = 4.0;
/// It shows for at least this long, s.
const SHOWS_S: f64 = 900.0;

pub const RULE: Rule = Rule {
    kind: AlarmKind::ElementOut,
    id: "element-out",
    title: "An element or its relay is out",
    limit: "power given is less than power asked for by 26 % or more, for 15 min",
    reason: "A broken coil or a relay that does not close takes a whole share of the power away at once; the kiln climbs slower than at this duty or lag it can, or its meter shows less than its duty.",
    source: "power of coils in parallel; limits set on synthetic kilns",
    look_at: &[
        "Dark coils through the peepholes, with shaded glasses: which ring does not glow?",
        "Amperes of each leg, by somebody who may measure them; a relay that does not click.",
        "Breaker and plug: one leg of three may be out.",
    ],
    remedy: "Let it run if it still climbs; hold longer or accept a cooler cone on the dark side. If it stalls, end the firing and refire. Elements and relays are changed with the kiln isolated.",
    stays: false,
};

/// What is short, if it is.
pub fn short(view: &View<'_>) -> Option<(Fault, f64)> {
    let fault = view.fault(Sign::Weak)?;
    let leak = view.fault(Sign::Leak).map_or(0.0, |f| f.gain);
    let near = fault.gain >= GAIN
        && fault.size >= DEVIATIONS * fault.deviation
        && view.now_s - fault.since_s >= SHOWS_S
        && fault.gain + 1.0 >= leak;
    near.then(|| (fault.clone(), sure(fault.gain)))
}

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let (fault, how_sure) = short(view).filter(|(f, _)| f.size >= ELEMENT)?;
    Some(Finding {
        since_s: fault.since_s,
        how_sure,
        words: format!(
            "The kiln gets {:.0} % less power than its controller asks for (give or take {:.0} %).",
            fault.size.min(1.0) * 100.0,
            fault.deviation * 100.0
        ),
    })
}
