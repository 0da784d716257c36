//! The firing to set and what to expect of it.

use glost_model::doubt::{Doubt, TimeBand};
use glost_model::plan_file::PlanFile;
use glost_model::shown::{Shown, hours};
use glost_sheets::{CAUTIONS, Curve, step_letter};
use maud::{Markup, html};

use super::cautions::list;
use super::{across, drawing, frame, narrow, wide};

/// The page.
pub fn page(plan: &PlanFile) -> Markup {
    frame(plan, "/firing", "Firing", &body(plan))
}

/// What it shows.
pub fn body(plan: &PlanFile) -> Markup {
    let shown = plan.studio.shown;
    html! {
        @match (&plan.firing, &plan.forecast) {
            (Some(firing), Some(forecast)) => {
                @if !forecast.feasible { p.warn { "Not fit to fire as it is. Read the notes first." } }
                p.lead {
                    @if let Some(t) = forecast.peak_over(firing) { "Peak over after " (hours(t)) ", " }
                    "programme over after " (hours(forecast.firing_s)) ", " (format!("{:.0} kWh", forecast.energy_j.to_kwh())) ", "
                    (plan.studio.tariff.cost_told(forecast.cost_cents))
                    ", hottest at the sensor " (shown.temperature(forecast.peak_c)) "."
                }
                @if let Some(d) = &forecast.doubt { (doubt(d, shown)) }
                @let band = forecast.doubt.as_ref().map(Doubt::sensor_band);
                @let curve = Curve { forecast, plan: firing, shown, band: band.as_deref() };
                (drawing(|paper| glost_sheets::curve_svg(&curve, paper), "Expected temperatures over time"))
                h2 { "Set on the controller" }
                p { "Numbers as on the curve." }
                ol.segments { @for s in &firing.segments { li {
                    strong { (shown.ramp(s.rate)) " to " (shown.temperature(s.target)) @if s.hold.to_minutes() >= 0.5 { ", hold " (hours(s.hold)) } }
                    p { (s.reason) }
                } } }
                (list(CAUTIONS.start))
                h2 { "Do by hand" }
                (list(CAUTIONS.hand))
                p { "Letters as on the curve; times are those of the forecast." }
                ul.steps-by-hand { @for (i, h) in firing.hand_steps.iter().enumerate() { li {
                    strong { span.letter { (step_letter(i)) } " " (h.when(shown)) }
                    @if let Some(t) = forecast.due(h).filter(|_| !h.at_start()) { ", after about " (hours(t)) }
                    ": " (h.step)
                } } }
                (list(CAUTIONS.end))
                h2 { "Expect" }
                (narrow(glost_sheets::reached_svg(forecast, firing.cone), "Cone that each tier gets"))
                (wide("What each tier gets", html! { table {
                    thead { tr { th scope="col" { "Tiers" } th scope="col" { "Hottest ware" } th scope="col" { "Cone" } th scope="col" { "Beside cone " (firing.cone) } } }
                    tbody { @for z in &forecast.zones { tr {
                        th scope="row" { (z.tiers) } td { (shown.temperature(z.peak_c)) } td { (z.cone_reached) }
                        td { (glost_sheets::beside(z.cone_position, firing.cone)) }
                    } } }
                } }))
                @if let Some(across) = &forecast.across {
                    h2 { "The kiln across" }
                    (across::section(across, shown, forecast.dry(firing)))
                }
                h2 { "Where the energy goes" }
                (narrow(glost_sheets::energy_svg(forecast), "Where the energy goes"))
                h2 { "Cooling" }
                ul { @for c in &forecast.cooled { li {
                    "Below " (shown.temperature(c.below_c)) ": "
                    (c.time_s.map_or("later than this forecast reaches".to_owned(), |t| format!("{} after the start", hours(t))))
                } } }
                (list(CAUTIONS.open))
                @if !(firing.notes.is_empty() && forecast.notes.is_empty()) {
                    h2 { "Notes" }
                    ul { @for n in firing.notes.iter().chain(&forecast.notes) { li { (n) } } }
                }
            }
            _ => { p.empty { "No firing is planned for this load yet." } }
        }
    }
}

/// What the forecast is worth.
fn doubt(d: &Doubt, shown: Shown) -> Markup {
    let between = |band: &TimeBand| match (band.low, band.high) {
        (Some(low), Some(high)) if hours(low) == hours(high) => {
            format!("{} after the start", hours(low))
        }
        (Some(low), Some(high)) => {
            format!("between {} and {} after the start", hours(low), hours(high))
        }
        (Some(low), None) => format!(
            "not before {} after the start, and in some never",
            hours(low)
        ),
        _ => "never in most".to_owned(),
    };
    html! {
        p {
            "In eight of ten kilns like this one, by what nobody has measured: peak over " (between(&d.peak_over_s))
            ", below " (shown.temperature(d.open_below_c)) " " (between(&d.open_s))
            ", " (format!("{:.0} to {:.0} kWh", d.energy_j.low.to_kwh(), d.energy_j.high.to_kwh())) "."
            @if d.missed > 0 { " In " (d.missed) " of " (d.draws) " it stalls or falls short of its cone." }
        }
    }
}
