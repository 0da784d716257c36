//! How much hotter or cooler the ware is than the sensor, enlarged below the plot where the lines lie on one another.

use glost_model::TempDiff;
use glost_model::forecast::{Forecast, Sample};
use glost_model::shown::Shown;

use super::lines::{Line, POINTS};
use super::{Plot, THIN};
use crate::svg::{Anchor, SMALL, Spot, Svg};

/// Height of the strip, mm.
const HIGH: f64 = 22.0;

/// Draws the strip below `top` and answers with the height of the drawing so far.
pub(super) fn draw(
    svg: &mut Svg,
    plot: &Plot,
    forecast: &Forecast,
    lines: &[Line],
    top: f64,
) -> f64 {
    let ware: Vec<&Line> = lines.iter().filter(|l| l.is_ware()).collect();
    let most = ware
        .iter()
        .flat_map(|l| {
            forecast
                .samples
                .iter()
                .filter_map(|s| off(plot.shown, l, s))
        })
        .fold(0.0, |most: f64, d| most.max(d.abs()));
    if ware.is_empty() || forecast.samples.len() < 2 {
        return top;
    }
    let e = plot.edges;
    let ends = [5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0];
    let end = ends.into_iter().find(|end| most <= *end).unwrap_or(4000.0);
    let words = format!("ware less sensor, {}", plot.shown.degree_sign());
    svg.bold((e.left, top + 4.5), SMALL, Anchor::Start, &words);
    let (top, bottom) = (top + 7.0, top + 7.0 + HIGH);
    let y = |d: f64| top + HIGH / 2.0 - (d / end).clamp(-1.0, 1.0) * HIGH / 2.0;
    for (d, name) in [
        (end, format!("+{end:.0}")),
        (0.0, "0".to_owned()),
        // A dash: the printed sheet's font has no minus sign.
        (-end, format!("–{end:.0}")),
    ] {
        svg.line((e.left, y(d)), (e.right, y(d)), THIN);
        let at = (e.left - 1.5, y(d) + SMALL * 0.36);
        svg.text(at, SMALL, Anchor::End, &name);
    }
    for (x, _) in super::ticks(plot) {
        svg.line((x, top), (x, bottom), THIN);
    }
    super::bend(svg, plot, (top, bottom));
    let every = forecast.samples.len().div_ceil(POINTS).max(1);
    for line in ware {
        let spots: Vec<Spot> = forecast
            .samples
            .iter()
            .step_by(every)
            .filter_map(|s| Some((plot.x(s.time_s), y(off(plot.shown, line, s)?))))
            .collect();
        if spots.len() > 1 {
            svg.polyline(&spots, line.look);
        }
    }
    let frame = r#"fill="none" stroke="black" stroke-width="0.6""#;
    svg.rect((e.left, top), (e.right - e.left, HIGH), frame);
    bottom + 1.5
}

/// Degrees above the sensor.
fn off(shown: Shown, line: &Line, s: &Sample) -> Option<f64> {
    let d: TempDiff = line.at(s)? - s.sensor_c;
    let degrees = if shown.fahrenheit {
        d.to_fahrenheit()
    } else {
        d.to_k()
    };
    degrees.is_finite().then_some(degrees)
}
