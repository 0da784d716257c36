//! Marks on the curve: segments by number with their ramps and holds, steps by hand by letter, and when the closed kiln
//! has cooled.

use glost_model::Span;
use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::shown::hours;

use super::{Curve, Plot};
use crate::spread::{in_rows, rows, spread_within};
use crate::svg::{Anchor, SMALL, Spot, Svg, width_of};

/// Room of a number or letter, mm.
const MARK: f64 = 6.9;
/// Height of the strip of ramps and holds, mm.
const STRIP: f64 = 2.4;
const BLACK: &str = r#"stroke="black" stroke-width="0.3""#;

/// A segment in time.
struct Course {
    from: Span,
    /// The ramp has arrived.
    there: Span,
    /// Its hold is over.
    over: Span,
}

/// Segments as the forecast sees them; one that is never over ends with the programme.
fn courses(forecast: &Forecast, plan: &FiringPlan) -> Vec<Course> {
    let mut out = Vec::new();
    let mut from = Span::ZERO;
    for (i, segment) in plan.segments.iter().enumerate() {
        let seen = forecast.segments_over_s.get(i).copied();
        let over = seen.unwrap_or(forecast.firing_s).max(from);
        let there = match seen {
            Some(over) => (over - segment.hold).max(from),
            None => over,
        };
        out.push(Course { from, there, over });
        from = over;
        if seen.is_none() {
            break;
        }
    }
    out
}

/// Height that numbers and strip take above the plot.
pub(super) fn above(segments: usize, edges: (f64, f64)) -> f64 {
    1.0 + MARK * rows(segments, MARK, edges.0, edges.1) as f64 + STRIP + 1.6
}

/// Ramps and holds as a strip over the plot, and above it their numbers, each led to its ramp on the curve.
pub(super) fn segments(svg: &mut Svg, plot: &Plot, curve: &Curve<'_>) {
    let e = plot.edges;
    let courses = courses(curve.forecast, curve.plan);
    let top = e.top - STRIP;
    for c in &courses {
        let (from, there, over) = (plot.x(c.from), plot.x(c.there), plot.x(c.over));
        ramp(svg, (from, top), over - from);
        if over > there {
            hold(svg, (there, top), over - there);
        }
    }
    let middle = |c: &Course| (c.from + c.there) / 2.0;
    let wanted: Vec<f64> = courses.iter().map(|c| plot.x(middle(c))).collect();
    let places = in_rows(&wanted, MARK, e.left, e.right);
    let spots: Vec<Spot> = places
        .iter()
        .map(|(row, x)| (*x, 1.0 + MARK * (*row as f64 + 0.5)))
        .collect();
    // All leads lie beneath all numbers.
    for (spot, c) in spots.iter().zip(&courses) {
        let at = middle(c);
        if let Some(set) = curve.forecast.samples.iter().find(|s| s.time_s >= at) {
            let heat = set.set_point_c.unwrap_or(set.sensor_c);
            let foot = (plot.x(set.time_s), plot.y(heat));
            svg.polyline(
                &[*spot, (foot.0, e.top), foot],
                r#"fill="none" stroke="black" stroke-width="0.3""#,
            );
            svg.circle(foot, 0.9, r#"fill="black""#);
        }
    }
    for (i, spot) in spots.iter().enumerate() {
        number(svg, *spot, i + 1);
    }
}

/// A ramp in the strip.
pub(super) fn ramp(svg: &mut Svg, corner: Spot, wide: f64) {
    let look = r#"fill="white" stroke="black" stroke-width="0.4""#;
    svg.rect(corner, (wide, STRIP), look);
}

/// A hold in the strip; never too short to be seen.
pub(super) fn hold(svg: &mut Svg, corner: Spot, wide: f64) {
    svg.rect(corner, (wide.max(0.5), STRIP), r#"fill="black""#);
}

/// The mark of a segment.
pub(super) fn number(svg: &mut Svg, at: Spot, number: usize) {
    svg.circle(at, 3.1, r#"fill="white" stroke="black" stroke-width="0.6""#);
    let name = number.to_string();
    svg.bold((at.0, at.1 + SMALL * 0.36), SMALL, Anchor::Middle, &name);
}

/// Letters of the steps by hand below the plot, led up to the sensor; answers with their lower edge.
pub(super) fn steps(svg: &mut Svg, plot: &Plot, curve: &Curve<'_>) -> f64 {
    let e = plot.edges;
    let due: Vec<(usize, Span)> = curve
        .plan
        .hand_steps
        .iter()
        .enumerate()
        .filter_map(|(i, s)| Some((i, curve.forecast.due(s)?)))
        .collect();
    if due.is_empty() {
        return e.bottom + 1.5;
    }
    let wanted: Vec<f64> = due.iter().map(|(_, t)| plot.x(*t)).collect();
    let top = e.bottom + 2.5;
    let places = in_rows(&wanted, MARK, e.left - 3.0, e.right + 2.0);
    let spots: Vec<Spot> = places
        .iter()
        .map(|(row, x)| (*x, top + MARK * (*row as f64 + 0.5)))
        .collect();
    for (spot, (i, at)) in spots.iter().zip(&due) {
        let foot = (plot.x(*at), plot.y(curve.plan.hand_steps[*i].at));
        let look = r#"fill="none" stroke="black" stroke-width="0.3" stroke-dasharray="1 0.8""#;
        svg.polyline(&[*spot, (foot.0, e.bottom), foot], look);
    }
    for (spot, (i, _)) in spots.iter().zip(&due) {
        letter(svg, *spot, *i);
    }
    let last = rows(due.len(), MARK, e.left - 3.0, e.right + 2.0);
    top + MARK * last as f64
}

/// The mark of a step by hand.
pub(super) fn letter(svg: &mut Svg, at: Spot, number: usize) {
    let look = r#"fill="white" stroke="black" stroke-width="0.6""#;
    svg.rect((at.0 - 2.9, at.1 - 2.9), (5.8, 5.8), look);
    let name = step_letter(number);
    svg.bold((at.0, at.1 + SMALL * 0.36), SMALL, Anchor::Middle, &name);
}

/// Letter of a step by hand, counted from 0, on every drawing and list: A to Z, then a to z.
pub fn step_letter(number: usize) -> String {
    let letters = ('A'..='Z').chain('a'..='z');
    letters
        .chain(std::iter::repeat('…'))
        .nth(number)
        .map_or_else(String::new, String::from)
}

/// A dotted line at each hour when the closed kiln has cooled to a temperature; the one at which it may be opened is
/// strong and says so.
pub(super) fn cooling(svg: &mut Svg, plot: &Plot, forecast: &Forecast) {
    let e = plot.edges;
    let may_open = forecast.may_open();
    let seen: Vec<_> = forecast
        .cooled
        .iter()
        .filter_map(|c| c.time_s.map(|t| (t, c.below_c, may_open == Some(c))))
        .collect();
    let wide = SMALL * 1.15;
    let wanted: Vec<(f64, f64)> = seen
        .iter()
        .map(|(t, ..)| (plot.x(*t) - 1.0 - SMALL / 2.0, wide))
        .collect();
    // Beside their lines, not on them.
    let places = spread_within(&wanted, e.left, e.right);
    for (x, (time, below, open)) in places.into_iter().zip(&seen) {
        let at = plot.x(*time);
        let look = if *open {
            r#"stroke="black" stroke-width="1""#
        } else {
            r#"stroke="black" stroke-width="0.4" stroke-dasharray="0.6 1.2""#
        };
        svg.line((at, e.top), (at, e.bottom), look);
        let (below, when) = (plot.shown.temperature(*below), hours(*time));
        let words = if *open {
            format!("may open below {below}: {when}")
        } else {
            format!("below {below}: {when}")
        };
        let spot = (x + SMALL * 0.3, e.top + 3.0);
        // A lead from a label that had to make room.
        if (x - (at - 1.0 - SMALL / 2.0)).abs() > SMALL {
            svg.line((spot.0, e.top + 1.6), (at, e.top + 1.6), BLACK);
        }
        let fits = width_of(&words, SMALL) * 0.95 <= e.bottom - e.top - 4.0;
        let words = if fits { &words } else { &when };
        svg.upward(spot, SMALL, Anchor::End, *open, words);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_run_on() {
        let some: Vec<String> = [0, 25, 26, 51, 52].map(step_letter).into();
        assert_eq!(some, ["A", "Z", "a", "z", "…"]);
    }
}
