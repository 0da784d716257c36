//! No power comes at all.

use super::super::stretch::GAP_S;
use super::super::track::Phase;
use super::view::SHUT;
use super::{AlarmKind, Finding, Rule, View};

/// A kiln that takes less than this share has none.
const NONE: f64 = 0.04;
/// In a hole of the log: less than this of what it took before.
const OF_BEFORE: f64 = 0.35;
/// For this long, s.
const SHOWS_S: f64 = 600.0;
/// Below its set point by this, or asked for this share at least.
const BELOW_K: f64 = 12.0;
const ASKED: f64 = 0.2;

pub const RULE: Rule = Rule {
    kind: AlarmKind::PowerCut,
    id: "power-cut",
    title: "No power comes",
    limit: "for 10 min the kiln takes less than 4 % of its power while a fifth is asked for, or while it is 12 K below its set point",
    reason: "A kiln without power cools as it does when it is shut and off, however far its programme is. Where the plan has it cool that is nothing strange.",
    source: "limits set on synthetic kilns",
    look_at: &[
        "Did somebody end it? Then nothing is wrong: tick the firing as ended.",
        "Room lights, isolator, breaker, plug; an over-temperature stop or a timer that has run out.",
        "Controller: does it show an error, or a programme that waits to be started again?",
    ],
    remedy: "What bends cones is kept: heat-work received does not get lost. Above 600 °C start the programme again at the segment that it was in; the kiln follows as fast as it may. Below 600 °C go up through 573 °C as slowly as the plan has it. Leave all shut meanwhile.",
    stays: false,
};

/// The log stopped with the power: a hole in which the kiln fell.
fn hole(view: &View<'_>) -> Option<Finding> {
    const AFTER_S: f64 = 3600.0;
    let last = view.lately(AFTER_S).iter().rev();
    let hole = last.into_iter().find(|s| s.long_s >= GAP_S)?;
    let before = view.past.iter().rfind(|s| s.to_s < hole.to_s - 1.0)?;
    let usual = before.long_s <= 0.5 * hole.long_s;
    let (from, to) = (before.reading_k?, hole.reading_k?);
    // Over a long time a kiln that is not known well does not come out at nothing.
    let none = NONE.max(OF_BEFORE * before.share);
    let fell = from - to > 10.0 && hole.share < none && !hole.coasted;
    let wanted =
        before.asked.is_some_and(|a| a.now >= ASKED) || before.lag_k().is_some_and(|l| l > 0.0);
    let planned_fall = before.falls || hole.falls;
    (usual && fell && wanted && !planned_fall).then(|| Finding {
        since_s: hole.to_s - hole.long_s,
        how_sure: 0.9,
        words: format!(
            "The log stood still for {} and the kiln fell from {} to {} meanwhile, as if it were off. {}",
            glost_model::shown::hours(glost_model::Span::s(hole.long_s)),
            view.temperature(from),
            view.temperature(to),
            (view.so_far)()
        ),
    })
}

pub fn judge(view: &View<'_>) -> Option<Finding> {
    let now = view.now()?;
    if matches!(now.phase, Phase::Over) {
        return None;
    }
    if let Some(found) = hole(view) {
        return Some(found);
    }
    let cools = view.cools();
    let asks = |s: &super::Stretch| s.asked.is_some_and(|a| a.now >= ASKED);
    let none = view.all_lately(SHOWS_S, |s| {
        // On its way down a kiln takes no power as a rule, and holds there are counted in more ways than one.
        let below = !cools && s.lag_k().is_some_and(|l| l >= BELOW_K / 2.0);
        !s.coasted
            && (SHUT..NONE).contains(&s.share)
            && s.rate < 0.0
            && (asks(s) || below)
            && s.reading_k.is_some_and(|k| k > 353.0)
    });
    let below = !cools && now.lag_k().is_some_and(|l| l >= BELOW_K)
        || now.asked.is_some_and(|a| a.told && a.now >= ASKED);
    if !none || !below {
        return None;
    }
    let these = view.lately(SHOWS_S);
    let first = these.first()?;
    Some(Finding {
        since_s: first.to_s - first.long_s,
        how_sure: 0.95,
        words: format!(
            "The kiln falls by {} at {} as if it were off. {}",
            view.rate(-now.rate),
            view.temperature(now.reading_k?),
            (view.so_far)()
        ),
    })
}
