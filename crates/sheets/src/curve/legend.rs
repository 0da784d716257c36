//! Below the plot: the lines and marks by their look, the segments by their number with their reasons, the steps by
//! their letter with their times.

use glost_model::firing::{FiringPlan, Segment};
use glost_model::shown::{Shown, hours};

use super::lines::{BAND, Line};
use super::{Curve, Plot, marks};
use crate::svg::{Anchor, RUNNING, SMALL, Spot, Svg, width_of, wrapped};

const LEADING: f64 = 5.4;
const INDENT: f64 = 9.0;
/// Edge of the drawing, mm.
const EDGE: f64 = 2.0;
/// Height of a row of the key, mm.
const ROW: f64 = 7.0;

type Draw<'a> = Box<dyn Fn(&mut Svg, Spot) + 'a>;

/// Names lines and marks below `top` and answers with the height of the drawing so far.
pub(super) fn key(svg: &mut Svg, plot: &Plot, curve: &Curve<'_>, lines: &[Line], top: f64) -> f64 {
    let mut entries: Vec<(f64, Draw<'_>, &str)> = Vec::new();
    for line in lines {
        let draw: Draw<'_> =
            Box::new(|svg, at| svg.polyline(&[at, (at.0 + 16.0, at.1)], line.look));
        entries.push((16.0, draw, &line.name));
    }
    if curve.band.is_some() {
        let draw: Draw<'_> = Box::new(|svg, at| svg.rect((at.0, at.1 - 2.0), (9.0, 4.0), BAND));
        entries.push((9.0, draw, "sensor in 8 of 10 such kilns"));
    }
    if !curve.plan.segments.is_empty() {
        let draw: Draw<'_> = Box::new(|svg, at| marks::number(svg, (at.0 + 3.5, at.1), 1));
        entries.push((7.0, draw, "segment"));
        let draw: Draw<'_> = Box::new(|svg, at| marks::ramp(svg, (at.0, at.1 - 1.2), 7.0));
        entries.push((7.0, draw, "ramp"));
        let draw: Draw<'_> = Box::new(|svg, at| marks::hold(svg, (at.0, at.1 - 1.2), 7.0));
        entries.push((7.0, draw, "hold"));
    }
    if !curve.plan.hand_steps.is_empty() {
        let draw: Draw<'_> = Box::new(|svg, at| marks::letter(svg, (at.0 + 3.5, at.1), 0));
        entries.push((7.0, draw, "step by hand"));
    }
    if plot.is_bent() {
        let draw: Draw<'_> =
            Box::new(|svg, at| super::bend_mark(svg, at.0 + 3.0, (at.1 - 2.5, at.1 + 2.5)));
        entries.push((6.0, draw, "from here on time is drawn closer"));
    }
    let (mut x, mut y) = (EDGE, top + 4.0);
    for (mark, draw, name) in entries {
        let wide = mark + 2.0 + width_of(name, SMALL) * RUNNING + 4.0;
        if x > EDGE && x + wide > plot.edges.width {
            x = EDGE;
            y += ROW;
        }
        draw(svg, (x, y));
        let at = (x + mark + 2.0, y + SMALL * 0.36);
        svg.text(at, SMALL, Anchor::Start, name);
        x += wide;
    }
    y + 4.5
}

/// Lists the segments with their reasons from `top` and answers with the height of the drawing.
pub(super) fn reasons(svg: &mut Svg, plot: &Plot, plan: &FiringPlan, top: f64) -> f64 {
    let mut y = top + 5.0;
    for (i, segment) in plan.segments.iter().enumerate() {
        marks::number(svg, (5.0, y), i + 1);
        let words = format!("{}: {}", setting(plot.shown, segment), segment.reason);
        y = told(svg, plot, &words, y);
    }
    y
}

/// Lists the steps by hand from `top` and answers with the height of the drawing.
pub(super) fn steps(svg: &mut Svg, plot: &Plot, curve: &Curve<'_>, top: f64) -> f64 {
    let mut y = top + 1.0;
    for (i, step) in curve.plan.hand_steps.iter().enumerate() {
        marks::letter(svg, (5.0, y), i);
        let due = curve.forecast.due(step).filter(|_| !step.at_start());
        let due = due.map(hours);
        let due = due.map_or_else(String::new, |t| format!(" ({t})"));
        let words = format!("{}{due}: {}", step.when(plot.shown), step.step);
        y = told(svg, plot, &words, y);
    }
    y
}

/// Words beside a mark at `y`; answers where the next begins.
fn told(svg: &mut Svg, plot: &Plot, words: &str, mut y: f64) -> f64 {
    for line in wrapped(words, SMALL, plot.edges.width - INDENT - 3.0) {
        let at = (INDENT + 2.0, y + SMALL * 0.36);
        svg.text(at, SMALL, Anchor::Start, &line);
        y += LEADING;
    }
    y + 2.2
}

/// A segment as one says it.
fn setting(shown: Shown, segment: &Segment) -> String {
    let rate = shown.ramp(segment.rate);
    let target = shown.temperature(segment.target);
    if segment.hold.to_minutes() < 0.5 {
        format!("{rate} to {target}")
    } else {
        format!("{rate} to {target}, hold {}", hours(segment.hold))
    }
}
