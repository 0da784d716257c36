//! The segments of a firing, with their reasons.

use glost_model::firing::Segment;
use glost_model::load::FiringKind;
use glost_model::shown::hours;
use glost_model::{Rate, Span, TempDiff, Temperature};

use super::facts::{DRY_AT, DRY_AT_MOST, Facts, Pace};
use super::whole_c;

/// The last 100 °C at the rate of the cone chart's middle column, so that its end points hold
/// (Edward Orton Jr. Ceramic Foundation, Temperature Equivalents chart).
pub const LAST_C_PER_H: f64 = 60.0;
const LAST: TempDiff = TempDiff::k(100.0);
/// No segment is shorter than this.
const NEAR: TempDiff = TempDiff::k(50.0);
/// Hold at the peak: evens the kiln out. Common practice 5 to 30 min.
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

/// Rates in °C/h and holds in minutes by pace; a start set from school notes and trade tables.
struct Table {
    to_dry: f64,
    past_steam: f64,
    to_650: f64,
    at_650: f64,
    to_last: f64,
}

const fn bisque(pace: Pace) -> Table {
    match pace {
        Pace::Slow => Table {
            to_dry: 30.0,
            past_steam: 50.0,
            to_650: 60.0,
            at_650: 30.0,
            to_last: 80.0,
        },
        Pace::Medium => Table {
            to_dry: 50.0,
            past_steam: 80.0,
            to_650: 100.0,
            at_650: 20.0,
            to_last: 120.0,
        },
        Pace::Fast => Table {
            to_dry: 90.0,
            past_steam: 110.0,
            to_650: 110.0,
            at_650: 0.0,
            to_last: 167.0,
        },
    }
}

const fn glaze(pace: Pace) -> Table {
    match pace {
        Pace::Slow => Table {
            to_dry: 80.0,
            past_steam: 80.0,
            to_650: 100.0,
            at_650: 0.0,
            to_last: 120.0,
        },
        Pace::Medium => Table {
            to_dry: 100.0,
            past_steam: 100.0,
            to_650: 150.0,
            at_650: 0.0,
            to_last: 170.0,
        },
        Pace::Fast => Table {
            to_dry: 120.0,
            past_steam: 150.0,
            to_650: 200.0,
            at_650: 0.0,
            to_last: 250.0,
        },
    }
}

/// Segments for a load whose cone ends near `end`.
pub fn of(facts: &Facts, end: Temperature, hold_step: Span) -> Segments {
    let table = match facts.kind {
        FiringKind::Bisque => bisque(facts.pace),
        FiringKind::Glaze => glaze(facts.pace),
    };
    let last_from = whole_c(end - LAST);
    let because = why_pace(facts);
    let step = |c_per_h: f64, target: Temperature, hold: Span, reason: String| Segment {
        rate: Some(Rate::c_per_h(c_per_h)),
        target,
        hold,
        reason,
    };
    let mut list = Vec::new();
    if let Some((needed, piece)) = &facts.drying {
        let hold = up_to_step(needed.min(DRY_AT_MOST), hold_step);
        if hold >= SHORT {
            list.push(step(
                table.to_dry,
                DRY_AT,
                hold,
                format!(
                    "Dries the load just below boiling. Slowest to dry is {piece}: water needs {} to find its way \
                     out of its wall. Steam inside would burst it.",
                    hours(*needed)
                ),
            ));
        }
    }
    let at = |c: f64| facts.shown.temperature(Temperature::c(c));
    let past = match facts.kind {
        FiringKind::Bisque => (
            220.0,
            format!(
                "The last of the water leaves between {} and {}; steam presses hard from inside, so go gently.",
                at(100.0),
                at(220.0)
            ),
        ),
        FiringKind::Glaze => (
            120.0,
            "Drives the damp out of glaze and foot before it can lift the glaze.".to_owned(),
        ),
    };
    list.push(step(
        table.past_steam,
        Temperature::c(past.0),
        Span::ZERO,
        format!("{} {because}", past.1),
    ));
    let through = match facts.kind {
        FiringKind::Bisque => (
            650.0,
            format!(
                "Clay gives off its bound water from {} to {}, and quartz swells at {}: all parts of a piece \
                 should pass it together.",
                at(450.0),
                at(650.0),
                at(573.0)
            ),
        ),
        FiringKind::Glaze => (
            600.0,
            format!(
                "Quartz in the bisque swells at {}: all parts of a piece should pass it together.",
                at(573.0)
            ),
        ),
    };
    list.push(step(
        table.to_650,
        Temperature::c(through.0),
        up_to_step(Span::minutes(table.at_650), hold_step),
        format!("{} {because}", through.1),
    ));
    // A low cone ends before some of these.
    list.retain(|s| s.target <= last_from);
    let (mut rate, mut why) = to_last(facts, &table);
    // One that ends just above the last of them takes it in.
    if let Some(near) = list.pop_if(|s| last_from - s.target < NEAR && s.hold <= Span::ZERO) {
        rate = near.rate.map_or(rate, |r| rate.min(r.to_c_per_h()));
        why = near.reason;
    }
    list.push(step(rate, last_from, Span::ZERO, why));
    let (hold_step_s, wanted) = (hold_step.to_s().max(1.0), PEAK_HOLD.to_s());
    list.push(step(
        LAST_C_PER_H,
        whole_c(end),
        Span::s((wanted / hold_step_s).round().max(1.0) * hold_step_s),
        format!(
            "The last {} at the rate that the cone chart is made for, and a hold that lets the kiln even out. The \
             peak is worked out so that the middle of the kiln gets its cone with this hold.",
            facts.shown.difference(LAST)
        ),
    ));
    let peak = list.len() - 1;
    let mut notes = Vec::new();
    if let Some(glaze) = &facts.slow_cool
        && last_from <= MATTE_FROM
    {
        notes.push(format!(
            "{glaze} wants a slow cooling, which is only known for firings above {}: none is planned.",
            facts.shown.temperature(MATTE_FROM)
        ));
    }
    if let Some(glaze) = &facts.slow_cool
        && last_from > MATTE_FROM
    {
        list.push(Segment {
            rate: None,
            target: MATTE_FROM,
            hold: Span::ZERO,
            reason: format!("Falls freely to where {glaze} begins to grow its crystals."),
        });
        list.push(step(
            -MATTE_C_PER_H,
            MATTE_TO,
            Span::ZERO,
            format!(
                "Cools slowly while {glaze} grows its crystals; below {} nothing more happens to it.",
                facts.shown.temperature(MATTE_TO)
            ),
        ));
    }
    Segments { list, peak, notes }
}

fn to_last(facts: &Facts, table: &Table) -> (f64, String) {
    let at = |c: f64| facts.shown.temperature(Temperature::c(c));
    match (facts.kind, &facts.burn_out) {
        (FiringKind::Bisque, Some(clay)) => (
            table.to_last.min(70.0),
            format!(
                "Carbon and sulphur burn out of {clay} from {} to {}. It needs time and air; what stays behind \
                 bloats the body or pinholes its glaze.",
                at(650.0),
                at(950.0)
            ),
        ),
        (FiringKind::Bisque, None) => (
            table.to_last,
            format!(
                "Carbon and sulphur burn out up to about {}, given air.",
                at(950.0)
            ),
        ),
        (FiringKind::Glaze, _) => (
            table.to_last,
            format!(
                "Nothing touchy happens here until the glaze seals. {}",
                why_pace(facts)
            ),
        ),
    }
}

fn why_pace(facts: &Facts) -> String {
    match &facts.thickest {
        Some((wall, piece)) => format!(
            "The thickest wall sets the pace: {piece}, {}.",
            facts.shown.length(*wall)
        ),
        None => String::new(),
    }
}

/// Up to the next whole step of the controller.
fn up_to_step(hold: Span, step: Span) -> Span {
    let s = step.to_s().max(1.0);
    // Zero, not minus zero, when there is no hold.
    Span::s((hold.to_s() / s - 1e-9).ceil() * s + 0.0)
}
