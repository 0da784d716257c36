//! A little less power than is asked for: low mains, part of a ring of elements, or worn elements. What the kiln gets is
//! the same for each, so the words name all and say how people tell them apart.

use super::element::{ELEMENT, short};
use super::{AlarmKind, Finding, Rule, View};

/// A smaller lack is what kilns differ by.
const LEAST: f64 = 0.10;

pub const RULE: Rule = Rule {
    kind: AlarmKind::MainsLow,
    id: "mains-low",
    title: "Mains voltage is low, or elements are worn or partly out",
    limit: "power given is less than power asked for by 10 to 26 %, for 15 min",
    reason: "Power goes with the square of the voltage: 5 % less voltage is 10 % less power. Elements whose resistance is a tenth higher give 9 % less.",
    source: "Ohm's law; limits set on synthetic kilns",
    look_at: &[
        "Coils through the peepholes, with shaded glasses: a stretch that stays dark is an element out. All duller alike is the mains, or wear.",
        "Mains voltage at the kiln under load, by somebody who may measure it: low is the mains. What else runs on this supply?",
        "Amperes of each ring or leg: one that draws less than the others is an element or its relay; all less alike is the mains, or wear.",
        "Since when: at once means mains or an element, over months means worn elements.",
        "After the firing, isolated and cold, ohms of each ring beside those when new: far more in one is a broken coil, a tenth more in all is wear.",
    ],
    remedy: "If it is the mains, switch off what else is on this supply. Else let the firing take longer; see what is foreseen, and look at the cones of the dark side. Have elements measured before the next firing.",
    stays: false,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let (fault, how_sure) = short(view).filter(|(f, _)| (LEAST..ELEMENT).contains(&f.size))?;
    let lacks = fault.size * 100.0;
    let volts = (1.0 - (1.0 - fault.size).sqrt()) * 100.0;
    let rings = view.input.bands.len();
    let ring = fault.size * rings as f64;
    // More than a ring is no part of one.
    let element = (rings > 0 && ring < 0.95).then(|| {
        let of = match rings {
            1 => "its elements".to_owned(),
            n => format!("one of its {n} rings of elements"),
        };
        format!(", or as with {:.0} % of {of} out", ring * 100.0)
    });
    Some(Finding {
        since_s: fault.since_s,
        how_sure,
        words: format!(
            "The kiln gets about {lacks:.0} % less power than its controller asks for, as with {volts:.0} % less voltage{}.",
            element.unwrap_or_default()
        ),
    })
}
