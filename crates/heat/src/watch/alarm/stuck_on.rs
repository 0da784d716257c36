//! Elements are on that ought not to be.

use super::super::evidence::Sign;
use super::super::track::Phase;
use super::{AlarmKind, Finding, Rule, View, sure};

/// As [`super::element`]'s.
const GAIN: f64 = 10.0;
/// Where nearly all is asked for nothing shows.
const LITTLE: f64 = 0.85;
const LEAST: f64 = 0.10;
const SHOWS_S: f64 = 900.0;
/// Hotter than the set point by this and still under power, K; where nobody tells what is asked for, by the second:
/// controllers that were at full power overshoot a slower ramp.
const ABOVE_K: f64 = 12.0;
const ABOVE_UNTOLD_K: f64 = 30.0;
const POWER: f64 = 0.12;
const ABOVE_S: f64 = 540.0;

pub const RULE: Rule = Rule {
    kind: AlarmKind::StuckOn,
    id: "stuck-on",
    title: "Elements stay on",
    limit: "power beyond what is asked for by 10 % of full power for 15 min, or as much power that nobody asks for at 12 K over the set point for 9 min (30 K where the log does not tell what is asked for)",
    reason: "A relay that welds shut keeps its elements on whatever the controller wants, also after the end of the programme: one studio kiln due off at midnight was full on at 16:00 the next day.",
    source: "notes on safety of studio kilns; limits set on synthetic kilns",
    look_at: &[
        "Isolator within reach? If the kiln is over its set point or its programme is over: switch it off there.",
        "Does it still hum or glow when the controller says off?",
        "Relays that do not click, contacts that are welded.",
    ],
    remedy: "Switch off at the isolator, not at the controller. Glost is no safety stop; the kiln's own over-temperature cut-out is. No firing until relays are changed.",
    stays: false,
};

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let now = view.now()?;
    let over_set = view.all_lately(ABOVE_S, |s| {
        let (most, asks) = match s.asked {
            Some(a) if a.told => (ABOVE_K, a.smooth),
            _ => (ABOVE_UNTOLD_K, 0.0),
        };
        let above = s.lag_k().is_some_and(|l| -l >= most);
        let falls = s.planned.is_some_and(|p| p < 0.0);
        let known = s.set_told || s.reading_k.is_some_and(|k| k > view.highest_k() + ABOVE_K);
        !s.coasted
            && above
            && known
            && s.share > asks + POWER
            && !(falls && s.rate < 0.0)
            && s.rate > -5e-3
    });
    if over_set && now.phase != Phase::Over {
        let first = view.lately(ABOVE_S).first()?;
        return Some(Finding {
            since_s: first.to_s - first.long_s,
            how_sure: 0.95,
            words: format!(
                "The sensor shows {}, {} over its set point, and the kiln still takes {:.0} % of its power.",
                view.temperature(now.reading_k?),
                view.difference(-now.lag_k()?),
                now.share * 100.0
            ),
        });
    }
    let fault = view.fault(Sign::Stuck)?;
    // Elements that give too little, once the kiln has been fitted to them, look like too much where little is asked for.
    let weak = view.fault(Sign::Weak).map_or(0.0, |f| f.gain);
    let little = view.all_lately(SHOWS_S, |s| s.asked.is_some_and(|a| a.now < LITTLE));
    let found = fault.gain >= GAIN
        && fault.size >= LEAST
        && fault.size >= 4.0 * fault.deviation
        && fault.gain > weak
        && view.now_s - fault.since_s >= SHOWS_S
        && little
        && now.share > now.asked.map_or(0.0, |a| a.now) + LEAST * 0.7;
    found.then(|| Finding {
        since_s: fault.since_s,
        how_sure: sure(fault.gain),
        words: format!(
            "The kiln takes {:.0} % of its power while {:.0} % is asked for.",
            now.share * 100.0,
            now.asked.map_or(0.0, |a| a.now) * 100.0
        ),
    })
}
