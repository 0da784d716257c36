//! Below the plot: the lines by their look, the segments by their number with their reasons.

use glost_model::firing::{FiringPlan, Segment};
use glost_model::shown::Shown;
use glost_model::shown::hours;

use super::{BOTTOM, Line, WIDTH, marks};
use crate::svg::{Anchor, SMALL, Svg, width_of};

const LEADING: f64 = 5.4;
const INDENT: f64 = 9.0;

/// Names the lines and answers with the height of the drawing so far.
pub(super) fn lines(svg: &mut Svg, lines: &[Line]) -> f64 {
    let mut y = BOTTOM + 19.0;
    for pair in lines.chunks(2) {
        for (line, x) in pair.iter().zip([2.0, WIDTH / 2.0 - 20.0]) {
            svg.polyline(&[(x, y), (x + 16.0, y)], line.look);
            svg.text(
                (x + 18.0, y + SMALL * 0.36),
                SMALL,
                Anchor::Start,
                &line.name,
            );
        }
        y += LEADING + 0.6;
    }
    y
}

/// Lists the segments with their reasons from `top` and answers with the height of the drawing.
pub(super) fn reasons(svg: &mut Svg, shown: Shown, plan: &FiringPlan, top: f64) -> f64 {
    let mut y = top + 2.0;
    for (i, segment) in plan.segments.iter().enumerate() {
        marks::number(svg, (5.0, y), i + 1);
        let words = format!("{}: {}", setting(shown, segment), segment.reason);
        for line in wrapped(&words, WIDTH - INDENT - 3.0) {
            svg.text(
                (INDENT + 2.0, y + SMALL * 0.36),
                SMALL,
                Anchor::Start,
                &line,
            );
            y += LEADING;
        }
        y += 2.2;
    }
    y
}

/// A segment as one says it.
pub(crate) fn setting(shown: Shown, segment: &Segment) -> String {
    let rate = shown.ramp(segment.rate);
    let target = shown.temperature(segment.target);
    if segment.hold.to_minutes() < 0.5 {
        format!("{rate} to {target}")
    } else {
        format!("{rate} to {target}, hold {}", hours(segment.hold))
    }
}

/// Breaks a text into lines of at most this width, mm.
fn wrapped(text: &str, width: f64) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() {
            word.to_owned()
        } else {
            format!("{line} {word}")
        };
        // The estimate is wide for running text.
        if width_of(&longer, SMALL) * 0.88 > width && !line.is_empty() {
            lines.push(std::mem::replace(&mut line, word.to_owned()));
        } else {
            line = longer;
        }
    }
    lines.push(line);
    lines
}
