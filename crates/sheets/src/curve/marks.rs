//! Marks on the curve: the segments by number, and when the closed kiln has cooled.

use glost_model::Span;
use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::shown::hours;

use super::{BOTTOM, Plot, TOP};
use crate::spread::spread;
use crate::svg::{Anchor, SMALL, Svg};

/// The set point has arrived when it is this near, K.
const NEAR_K: f64 = 1.0;

/// When each segment begins and ends its ramp in the forecast; ends at the first that is never seen.
pub(super) fn ramps(forecast: &Forecast, plan: &FiringPlan) -> Vec<(Span, Span)> {
    let mut samples = forecast
        .samples
        .iter()
        .skip_while(|s| s.set_point_c.is_none());
    let Some(first) = samples.next() else {
        return Vec::new();
    };
    let mut at = (first.time_s, first.set_point_c.unwrap_or(first.sensor_c));
    let mut out = Vec::new();
    for segment in &plan.segments {
        let (start, rising) = (at.0, segment.target >= at.1);
        let arrived = samples.find(|s| {
            s.set_point_c.is_some_and(|t| {
                let to_go = (segment.target - t).to_k();
                if rising {
                    to_go <= NEAR_K
                } else {
                    -to_go <= NEAR_K
                }
            })
        });
        let Some(sample) = arrived else { break };
        out.push((start, sample.time_s));
        at = (sample.time_s + segment.hold, segment.target);
        while samples.clone().next().is_some_and(|s| s.time_s < at.0) {
            samples.next();
        }
    }
    out
}

/// Numbers above the plot, each led to the middle of its ramp on the curve.
pub(super) fn segments(svg: &mut Svg, plot: &Plot, forecast: &Forecast, plan: &FiringPlan) {
    let ramps = ramps(forecast, plan);
    let middle = |&(from, to): &(Span, Span)| (from + to) / 2.0;
    let wanted: Vec<(f64, f64)> = ramps.iter().map(|r| (plot.x(middle(r)), 7.0)).collect();
    for (i, (x, ramp)) in spread(&wanted).into_iter().zip(&ramps).enumerate() {
        let mark = (x, TOP - 5.0);
        let set = forecast.samples.iter().find(|s| s.time_s >= middle(ramp));
        if let Some(set) = set {
            let foot = (
                plot.x(set.time_s),
                plot.y(set.set_point_c.unwrap_or(set.sensor_c)),
            );
            let thin = r#"stroke="black" stroke-width="0.3""#;
            svg.line(mark, foot, thin);
            svg.circle(foot, 0.9, r#"fill="black""#);
        }
        number(svg, mark, i + 1);
    }
}

/// The mark of a segment.
pub(super) fn number(svg: &mut Svg, at: (f64, f64), number: usize) {
    svg.circle(at, 3.1, r#"fill="white" stroke="black" stroke-width="0.6""#);
    let name = number.to_string();
    svg.bold((at.0, at.1 + SMALL * 0.36), SMALL, Anchor::Middle, &name);
}

/// A dotted line at each hour when the closed kiln has cooled to a temperature.
pub(super) fn cooling(svg: &mut Svg, plot: &Plot, forecast: &Forecast) {
    let seen = forecast
        .cooled
        .iter()
        .filter_map(|c| c.time_s.map(|t| (t, c.below_c)));
    let seen: Vec<_> = seen.collect();
    let wanted: Vec<(f64, f64)> = seen
        .iter()
        .map(|(t, _)| (plot.x(*t) - 1.0 - SMALL / 2.0, SMALL * 1.15))
        .collect();
    // Beside their lines, not on them.
    for (x, (time, below)) in spread(&wanted).into_iter().zip(&seen) {
        let at = plot.x(*time);
        let look = r#"stroke="black" stroke-width="0.4" stroke-dasharray="0.6 1.2""#;
        svg.line((at, TOP), (at, BOTTOM), look);
        let words = format!(
            "below {} at {}",
            plot.shown.temperature(*below),
            hours(*time)
        );
        let x = x + SMALL * 0.3;
        svg.upward((x, TOP + 3.0), SMALL, Anchor::End, &words);
    }
}
