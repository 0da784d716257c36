//! A little less power than is asked for: low mains, or worn elements.

use super::element::{ELEMENT, short};
use super::{AlarmKind, Finding, Rule, View};

/// A smaller lack is what kilns differ by.
const LEAST: f64 = 0.10;

pub const RULE: Rule = Rule {
    kind: AlarmKind::MainsLow,
    id: "mains-low",
    title: "Mains voltage is low, or elements are worn",
    limit: "power given is less than power asked for by 10 to 26 %, for 15 min",
    reason: "Power goes with the square of the voltage: 5 % less voltage is 10 % less power. Elements whose resistance is a tenth higher give 9 % less.",
    source: "Ohm's law; limits set on synthetic kilns",
    look_at: &[
        "Mains voltage at the kiln under load, by somebody who may measure it; what else runs on this supply?",
        "Since when: at once means mains or a single coil, over months means worn elements.",
        "Coils that bunch, lie flat or do not glow as bright as others.",
    ],
    remedy: "Switch off what else is on this supply, or let the firing take longer; see what is foreseen. Have elements measured before the next firing.",
    stays: false,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let (fault, how_sure) = short(view).filter(|(f, _)| (LEAST..ELEMENT).contains(&f.size))?;
    Some(Finding {
        since_s: fault.since_s,
        how_sure,
        words: format!(
            "The kiln gets about {:.0} % less power than its controller asks for, as with {:.0} % less voltage.",
            fault.size * 100.0,
            (1.0 - (1.0 - fault.size).sqrt()) * 100.0
        ),
    })
}
