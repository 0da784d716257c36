//! The segments of a firing, with their reasons.

use glost_model::firing::Segment;
use glost_model::shown::hours;
use glost_model::{Rate, Span, TempDiff, Temperature};

use super::facts::{DRY_AT, DRY_AT_MOST, Facts};
use super::limits::{Cap, Of, hold_past_quartz};
use super::whole_c;

/// Rate of the last stretch that a plan begins with: that of the cone chart's middle column (Edward Orton Jr.
/// Ceramic Foundation, Temperature Equivalents chart). The search then tries others between its outer columns.
pub const LAST_C_PER_H: f64 = 60.0;
/// The last stretch.
pub const LAST: TempDiff = TempDiff::k(100.0);
/// Ware runs behind the sensor by about this much: a limit on ware is kept for so much longer.
const BEHIND: TempDiff = TempDiff::k(30.0);
/// No segment is shorter than this.
const NEAR: TempDiff = TempDiff::k(50.0);
/// Hold at the peak that a plan begins with. Common practice 5 to 30 min.
const PEAK_HOLD: Span = Span::minutes(10.0);
/// A hold for drying shorter than this is not worth a hold.
pub const SHORT: Span = Span::minutes(10.0);
/// Controlled cooling of mattes, between these (trade practice: 70 to 85 °C/h from 1000 to 760 °C).
const MATTE_FROM: Temperature = Temperature::c(1000.0);
const MATTE_TO: Temperature = Temperature::c(760.0);
const MATTE_C_PER_H: f64 = 70.0;

/// The list, and which of them ends at the peak.
#[derive(Debug, Clone)]
pub struct Segments {
    /// In order.
    pub list: Vec<Segment>,
    /// Number of the one that ends at the peak.
    pub peak: usize,
    /// What could not be planned.
    pub notes: Vec<String>,
}

/// Where the last stretch of a cone begins that ends near `end`.
pub fn last_from(end: Temperature) -> Temperature {
    whole_c(end - LAST)
}

/// Segments for a load whose cone ends near `end`: as fast as its limits allow.
pub fn of(facts: &Facts, caps: &[Cap], end: Temperature, hold_step: Span) -> Segments {
    let last_from = last_from(end);
    let mut list: Vec<Segment> = Vec::new();
    let mut here = Temperature::c(0.0);
    for (to, hold) in stops(facts, caps, last_from, hold_step) {
        let Some(cap) = slowest(caps, here, to) else {
            continue;
        };
        here = to;
        let as_before = list
            .last()
            .is_some_and(|s| s.hold <= Span::ZERO && s.rate == Some(cap.rate));
        if as_before && let Some(before) = list.last_mut() {
            before.target = to;
            before.hold = hold;
            continue;
        }
        list.push(Segment {
            rate: Some(cap.rate),
            target: to,
            hold,
            reason: cap.why.clone(),
        });
    }
    shorten(&mut list);
    let step_s = hold_step.to_s().max(1.0);
    list.push(Segment {
        rate: Some(Rate::c_per_h(LAST_C_PER_H)),
        target: whole_c(end),
        hold: Span::s((PEAK_HOLD.to_s() / step_s).round().max(1.0) * step_s),
        reason: String::new(),
    });
    let peak = list.len() - 1;
    let mut notes = Vec::new();
    if let Some(glaze) = &facts.slow_cool {
        if last_from > MATTE_FROM {
            list.extend(matte(facts, glaze));
        } else {
            notes.push(format!(
                "{glaze} wants a slow cooling, which is only known for firings above {}: none is planned.",
                facts.shown.temperature(MATTE_FROM)
            ));
        }
    }
    Segments { list, peak, notes }
}

/// Where the rate may change or the programme holds, in order.
fn stops(
    facts: &Facts,
    caps: &[Cap],
    last_from: Temperature,
    hold_step: Span,
) -> Vec<(Temperature, Span)> {
    let rising = || caps.iter().filter(|c| !c.cooling());
    let mut all: Vec<(Temperature, Span)> = rising()
        .flat_map(|c| [c.from, until(c)])
        .filter(|t| *t > Temperature::c(30.0) && *t < last_from)
        .map(|t| (t, Span::ZERO))
        .collect();
    let drying = facts.drying.as_ref().map(|(needed, _)| *needed);
    let holds = [
        (
            DRY_AT,
            drying.map_or(Span::ZERO, |d| d.min(DRY_AT_MOST)),
            SHORT,
        ),
        (PAST_QUARTZ, hold_past_quartz(facts), Span::ZERO),
    ];
    for (at, hold, least) in holds {
        let hold = up_to_step(hold, hold_step);
        if hold > least && at < last_from {
            all.push((at, hold));
        }
    }
    all.push((last_from, Span::ZERO));
    all.sort_by(|a, b| {
        let by_heat = a.0.to_k().total_cmp(&b.0.to_k());
        by_heat.then(b.1.total_cmp(&a.1))
    });
    all.dedup_by(|b, a| (b.0 - a.0).to_k() < 0.5);
    all
}

/// Thick raw ware waits here for its core.
const PAST_QUARTZ: Temperature = Temperature::c(650.0);

/// The slowest limit on ware while the set point goes over a stretch.
pub fn slowest(caps: &[Cap], from: Temperature, to: Temperature) -> Option<&Cap> {
    caps.iter()
        .filter(|c| !c.cooling() && c.from < to && until(c) > from)
        .min_by(|a, b| a.rate.total_cmp(&b.rate))
}

/// The set point up to which a limit counts: ware runs behind the sensor.
fn until(cap: &Cap) -> Temperature {
    match cap.of {
        Of::Sensor => cap.to,
        Of::Ware => cap.to + BEHIND,
    }
}

/// Says why segments hold, the peak's apart.
pub fn reason_holds(facts: &Facts, list: &mut [Segment]) {
    for s in list.iter_mut().filter(|s| s.hold > Span::ZERO) {
        let why = match &facts.drying {
            Some((needed, piece)) if s.target <= DRY_AT => format!(
                " The hold dries the load just below boiling. Slowest to dry is {piece}: water needs {} to find its \
                 way out of its wall. Steam inside would burst it.",
                hours(*needed)
            ),
            _ => " The hold lets thick walls follow.".to_owned(),
        };
        s.reason.push_str(&why);
    }
}

/// A stretch that is hardly there goes with the one before it, at the slower of their rates.
fn shorten(list: &mut Vec<Segment>) {
    let mut i = 1;
    while i < list.len() {
        let short = list[i].target - list[i - 1].target < NEAR;
        if short && list[i - 1].hold <= Span::ZERO {
            let gone = list.remove(i - 1);
            if let (Some(a), Some(b)) = (gone.rate, list[i - 1].rate)
                && a < b
            {
                list[i - 1].rate = gone.rate;
                list[i - 1].reason = gone.reason;
            }
        } else {
            i += 1;
        }
    }
}

/// A slow cooling for a glaze that wants one.
fn matte(facts: &Facts, glaze: &str) -> [Segment; 2] {
    [
        Segment {
            rate: None,
            target: MATTE_FROM,
            hold: Span::ZERO,
            reason: format!("Falls freely to where {glaze} begins to grow its crystals."),
        },
        Segment {
            rate: Some(Rate::c_per_h(-MATTE_C_PER_H)),
            target: MATTE_TO,
            hold: Span::ZERO,
            reason: format!(
                "Cools slowly while {glaze} grows its crystals; below {} nothing more happens to it.",
                facts.shown.temperature(MATTE_TO)
            ),
        },
    ]
}

/// Up to the next whole step of the controller.
pub fn up_to_step(hold: Span, step: Span) -> Span {
    let s = step.to_s().max(1.0);
    // Zero, not minus zero, when there is no hold.
    Span::s((hold.to_s() / s - 1e-9).ceil() * s + 0.0)
}
