//! Curves of firings as they were read.

use glost_model::book::Firing;
use glost_model::plan_file::PlanFile;
use glost_model::readings::Sample;
use glost_model::{Span, Temperature};
use glost_sheets::{Line, over_svg};
use glost_studio::desk::DeskError;
use maud::{Markup, html};

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
    let lines = [&a, &b].map(|t| Line {
        name: &t.name,
        points: t.points.clone(),
        read: t.read,
    });
    Ok(html! {
        (drawing(|paper| over_svg(&lines, "Temperatures of two firings", v.shown(), paper), &format!("{} and {} over one another", a.name, b.name)))
        @if !(a.read && b.read) { p.hint { "Expected is what the sensor was thought to read, where nothing was read." } }
    })
}

/// The controller's sensor over the time since a start.
pub fn since(start: jiff::Timestamp, samples: &[Sample]) -> Vec<(Span, Temperature)> {
    let points = samples.iter().filter_map(|s| {
        let after = s.at.duration_since(start).as_secs_f64();
        Some((Span::s(after), s.sensor?)).filter(|_| after >= 0.0)
    });
    points.collect()
}
