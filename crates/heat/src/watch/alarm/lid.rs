//! Heat goes out by a way that is shut as a rule.

use super::super::evidence::Sign;
use super::super::track::Phase;
use super::view::{SHUT, fell};
use super::{AlarmKind, Finding, Rule, View, sure};

/// As [`super::element`]'s, and of a kiln that was learnt from: sound ones of seeds 101 and 103 came to 2.5 in 176.
const GAIN: f64 = 10.0;
const KNOWN_GAIN: f64 = 6.0;
/// Share of full power at 1000 K over the room.
const LEAST: f64 = 0.08;
const SHOWS_S: f64 = 900.0;
/// A sudden fall makes up its mind in this time, s: a sensor that slipped leaves the kiln as it is.
const DECIDES_S: f64 = 1200.0;
/// Misfit after a fall from which heat is lost: more than a sensor in the wall makes while the kiln catches up.
const LOST: f64 = 0.25;

pub const RULE: Rule = Rule {
    kind: AlarmKind::LidOpen,
    id: "lid-open",
    title: "Lid, door or plug is open",
    limit: "a loss of 8 % of full power more than the kiln has, for 15 min; while it cools, a fall that takes such a loss for 15 min",
    reason: "An open lid lets more heat go than the elements of many kilns can give. Cracks in hot ware follow.",
    source: "limits set on synthetic kilns",
    look_at: &[
        "Lid or door shut all round? Nothing between lid and wall?",
        "Plugs in? Vent hole as it ought to be, nobody at the peephole?",
        "Loose or broken brick; a gap that glows.",
    ],
    remedy: "Shut it, from the side, with heat gloves. Above 600 °C nothing of the ware is lost by a short opening; between 600 and 200 °C look for cracks afterwards.",
    stays: false,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let now = view.now()?;
    if now.phase == Phase::Over || view.all_lately(SHOWS_S, super::Stretch::off) {
        return cooling(view);
    }
    if let Some(fall) = view.sudden_fall(3.0 * DECIDES_S)
        && view.now_s - fall.to_s >= DECIDES_S
    {
        let mean = view.more_asked_since(fall).unwrap_or(0.0);
        if mean > LOST && now.rate < 0.03 {
            return Some(Finding {
                since_s: fall.to_s - fall.long_s,
                how_sure: 0.9,
                words: format!(
                    "The sensor fell faster than a shut kiln can, and since then {:.0} % of full power goes astray.",
                    mean * 100.0
                ),
            });
        }
    }
    let fault = view.fault(Sign::Leak)?;
    let weak = view.fault(Sign::Weak).map_or(0.0, |f| f.gain);
    let least = if view.known { KNOWN_GAIN } else { GAIN };
    let found = fault.gain >= least
        && fault.size >= LEAST
        && view.now_s - fault.since_s >= SHOWS_S
        && fault.gain > weak + 1.0;
    found.then(|| Finding {
        since_s: fault.since_s,
        how_sure: sure(fault.gain),
        words: format!(
            "The kiln loses more than it does when shut: {:.0} % of its full power.",
            fault.size * 100.0
        ),
    })
}

/// On its way down with nothing to drive it, a kiln can only lose more.
fn cooling(view: &View<'_>) -> Option<Finding> {
    let now = view.now()?;
    let open = now.reading_k? < view.input.opening.plugs.to_k() + 20.0;
    let falls = view.all_lately(SHOWS_S, |s| {
        s.share < SHUT && !s.coasted && (fell(s) || s.rate < -5e-3)
    });
    (falls && !open).then(|| Finding {
        since_s: view.now_s - SHOWS_S,
        how_sure: 0.85,
        words: format!(
            "The kiln cools by {} at {}, faster than it does when it is shut.",
            view.rate(-now.rate),
            view.temperature(now.reading_k.unwrap_or_default())
        ),
    })
}
