//! The curves of two firings over one another.

use glost_model::forecast::Forecast;
use glost_model::shown::{Shown, trimmed};

use super::{ROOM, THIN, degree_step};
use crate::paper::Paper;
use crate::svg::{Anchor, SMALL, Spot, Svg, wrapped};

/// A firing by the name that it has in the drawing.
#[derive(Debug, Clone, Copy)]
pub struct Named<'a> {
    /// Its name.
    pub name: &'a str,
    /// What was expected of it.
    pub forecast: &'a Forecast,
}

/// How the two are drawn: they differ by width, dashes and the letter that stands on them.
const LOOKS: [&str; 2] = [
    r#"fill="none" stroke="black" stroke-width="0.7""#,
    r#"fill="none" stroke="rgb(70,70,70)" stroke-width="1.1" stroke-dasharray="3 1.6""#,
];

/// Draws the sensor of both, as it was expected to run, over hours from the start. One unit is 1 mm of paper.
pub fn two_curves_svg(both: [Named<'_>; 2], shown: Shown, paper: Paper) -> String {
    let mut svg = Svg::new();
    let (left, right) = paper.pick((20.0, 174.0), (13.5, 107.0));
    let (top, bottom) = (12.0, 12.0 + paper.pick(96.0, 88.0));
    let samples = || both.iter().flat_map(|b| &b.forecast.samples);
    let finite = |v: f64| v.is_finite().then_some(v);
    let hours = samples()
        .filter_map(|s| finite(s.time_s.to_h()))
        .fold(1.0, f64::max);
    let step = degree_step(shown);
    let hottest = samples()
        .filter_map(|s| finite(shown.degrees(s.sensor_c)))
        .fold(100.0, f64::max);
    let most = ((hottest + step * 0.1) / step).ceil() * step;
    let x = |h: f64| left + (h / hours).clamp(0.0, 1.0) * (right - left);
    let y = |d: f64| bottom - (d / most).clamp(0.0, 1.0) * (bottom - top);

    let mut degrees = 0.0;
    while degrees <= most + 1.0 {
        svg.line((left, y(degrees)), (right, y(degrees)), THIN);
        let at = (left - 1.5, y(degrees) + SMALL * 0.36);
        svg.text(at, SMALL, Anchor::End, &format!("{degrees:.0}"));
        degrees += step;
    }
    svg.bold(
        (left - 1.5, top - 4.0),
        SMALL,
        Anchor::End,
        shown.degree_sign(),
    );
    let steps = [1.0, 2.0, 4.0, 6.0, 12.0, 24.0, 48.0, 96.0];
    let scale = (right - left) / hours;
    let every = steps
        .into_iter()
        .find(|s| s * scale >= ROOM)
        .unwrap_or(ROOM / scale);
    for i in 0..=(hours / every + 1e-9).floor() as usize {
        let h = i as f64 * every;
        svg.line((x(h), top), (x(h), bottom + 1.5), THIN);
        svg.text((x(h), bottom + 6.0), SMALL, Anchor::Middle, &trimmed(h, 1));
    }
    svg.bold(
        (right, bottom + 11.5),
        SMALL,
        Anchor::End,
        "hours from the start",
    );

    for (i, (b, look)) in both.iter().zip(LOOKS).enumerate() {
        let spots: Vec<Spot> = b
            .forecast
            .samples
            .iter()
            .filter_map(|s| {
                Some((
                    x(finite(s.time_s.to_h())?),
                    y(finite(shown.degrees(s.sensor_c))?),
                ))
            })
            .collect();
        svg.polyline(&spots, look);
        // Each letter on its own part of the curve: one on the way up, one on the way down.
        let at = spots.len() * [2, 5][i] / 8;
        if let Some(spot) = spots.get(at) {
            mark(&mut svg, *spot, ["A", "B"][i]);
        }
    }
    svg.rect(
        (left, top),
        (right - left, bottom - top),
        r#"fill="none" stroke="black" stroke-width="0.6""#,
    );

    let mut below = bottom + 19.0;
    for ((b, look), letter) in both.iter().zip(LOOKS).zip(["A", "B"]) {
        svg.polyline(&[(left, below - 1.4), (left + 14.0, below - 1.4)], look);
        mark(&mut svg, (left + 7.0, below - 1.4), letter);
        for line in wrapped(b.name, SMALL, right - left - 18.0) {
            svg.text((left + 17.0, below), SMALL, Anchor::Start, &line);
            below += 6.0;
        }
    }
    svg.finish(paper.width(), below, "Expected temperatures of two firings")
}

fn mark(svg: &mut Svg, at: Spot, letter: &str) {
    svg.circle(at, 2.6, r#"fill="white" stroke="black" stroke-width="0.4""#);
    svg.bold((at.0, at.1 + SMALL * 0.36), SMALL, Anchor::Middle, letter);
}
