//! Curves of firings as they were read.

use glost_model::book::Firing;
use glost_model::plan_file::PlanFile;
use glost_model::readings::Sample;
use glost_model::{Span, Temperature};
use glost_sheets::{Line, over_marked_svg, over_svg};
use glost_studio::desk::DeskError;
use glost_studio::follow::Estimate;
use maud::{Markup, html};

use super::firing::plan_of;
use super::readings;
use crate::app::Visit;
use crate::page::drawing;

/// Points of a curve that are enough for a drawing.
const POINTS: usize = 400;

/// What was read of a firing, or what was expected when nothing was.
struct Curve {
    name: String,
    points: Vec<(Span, Temperature)>,
    read: bool,
}

async fn read_or_expected(
    v: &Visit,
    f: &Firing,
    plan: Option<&PlanFile>,
) -> Result<Option<Curve>, DeskError> {
    let name = |how| format!("Firing {}, {}, cone {}, {how}", f.id, f.kiln, f.cone);
    if let Some(start) = f.started {
        let samples = v.app.desk.samples_thinned(&f.id, POINTS).await?;
        let points = since(start, &samples);
        if points.len() > 1 {
            let name = name("as read");
            let read = true;
            return Ok(Some(Curve { name, points, read }));
        }
    }
    Ok(plan
        .and_then(|p| p.forecast.as_ref())
        .map(|forecast| Curve {
            name: name("as expected"),
            points: Line::expected("", forecast).points,
            read: false,
        }))
}

/// Two firings over one another.
///
/// # Errors
/// Of the store.
pub async fn two(
    v: &Visit,
    both: &[Firing; 2],
    plans: &[Option<PlanFile>; 2],
) -> Result<Markup, DeskError> {
    let [a, b] = both;
    let [plan_a, plan_b] = plans;
    let (Some(a), Some(b)) = (
        read_or_expected(v, a, plan_a.as_ref()).await?,
        read_or_expected(v, b, plan_b.as_ref()).await?,
    ) else {
        return Ok(
            html! { p.empty { "At least one of them has neither readings nor a forecast." } },
        );
    };
    let mut unsound = Vec::new();
    for f in both {
        let marked = v.app.desk.bad_stretches(&f.id).await?;
        let each = marked.iter().map(|s| readings::told(v, s));
        unsound.extend(each.map(|words| format!("Firing {}, {words}", f.id)));
    }
    let lines = [&a, &b].map(|t| Line {
        name: &t.name,
        points: t.points.clone(),
        read: t.read,
    });
    Ok(html! {
        (drawing(|paper| over_svg(&lines, "Temperatures of two firings", v.shown(), paper), &format!("{} and {} over one another", a.name, b.name)))
        @if !unsound.is_empty() { p { "Marked as not to be believed:" } ul { @for words in &unsound { li { (words) } } } }
        @if !(a.read && b.read) { p.hint { "Expected is what the sensor was thought to read, where nothing was read." } }
    })
}

/// One firing: planned, read, and foreseen from here, with the stretches that are not to be believed.
///
/// # Errors
/// Of the store.
pub async fn one(v: &Visit, firing: &Firing, now: Option<&Estimate>) -> Result<Markup, DeskError> {
    let Some(start) = firing.started else {
        return Ok(html! {});
    };
    let read = v.app.desk.samples_thinned(&firing.id, POINTS).await?;
    let marked = v.app.desk.bad_stretches(&firing.id).await?;
    let plan = plan_of(v, &firing.id).await?;
    let mut lines = Vec::new();
    if let Some(forecast) = plan.as_ref().and_then(|p| p.forecast.as_ref()) {
        lines.push(Line::expected("Planned", forecast));
    }
    lines.push(Line {
        name: "Read",
        points: since(start, &read),
        read: true,
    });
    let after = |at: jiff::Timestamp| Span::s(at.duration_since(start).as_secs_f64());
    if let Some(e) = now {
        let from = after(e.at);
        let points = e.curve.iter().map(|c| (from + c.after, c.sensor));
        lines.push(Line {
            name: "Foreseen from here",
            points: points.collect(),
            read: false,
        });
    }
    if lines.iter().all(|l| l.points.len() < 2) {
        return Ok(html! {});
    }
    let bands: Vec<(Span, Span)> = marked
        .iter()
        .map(|s| (after(s.from), after(s.to)))
        .collect();
    let label = if bands.is_empty() {
        "Temperature of this firing over time: planned, read, foreseen"
    } else {
        "Temperature of this firing over time: planned, read, foreseen; stretches that are not to be believed are hatched"
    };
    let title = "Temperature of this firing";
    let drawn = drawing(
        |paper| over_marked_svg(&lines, &bands, title, v.shown(), paper),
        label,
    );
    Ok(
        html! { (drawn) p.hint { "The line of what was read breaks where nothing came for a quarter of an hour." } },
    )
}

/// The controller's sensor over the time since a start.
pub fn since(start: jiff::Timestamp, samples: &[Sample]) -> Vec<(Span, Temperature)> {
    let points = samples.iter().filter_map(|s| {
        let after = s.at.duration_since(start).as_secs_f64();
        Some((Span::s(after), s.sensor?)).filter(|_| after >= 0.0)
    });
    points.collect()
}
