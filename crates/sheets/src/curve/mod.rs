//! The forecast of a firing as a curve over hours.

mod beside;
mod legend;
mod lines;
mod marks;
mod over;

pub use marks::step_letter;
pub use over::{Line, over_marked_svg, over_svg};

use glost_model::firing::FiringPlan;
use glost_model::forecast::Forecast;
use glost_model::shown::{Shown, trimmed};
use glost_model::{Span, Temperature};

use crate::paper::Paper;
use crate::svg::{Anchor, SMALL, Svg};

/// What to draw.
#[derive(Debug, Clone, Copy)]
pub struct Curve<'a> {
    /// What to expect.
    pub forecast: &'a Forecast,
    /// What is set on the controller and done by hand.
    pub plan: &'a FiringPlan,
    /// Units.
    pub shown: Shown,
    /// Where the sensor may run, in order of time: lowest and highest for eight kilns in ten.
    pub band: Option<&'a [(Span, Temperature, Temperature)]>,
}

/// Edges of the plot on paper, mm.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edges {
    pub width: f64,
    pub left: f64,
    pub right: f64,
    pub top: f64,
    pub bottom: f64,
}

/// From hours and degrees to paper.
pub(super) struct Plot {
    pub shown: Shown,
    pub edges: Edges,
    hours: f64,
    /// When the scale of time changes, h, and where on the way from left to right.
    bend: (f64, f64),
    top: f64,
}

impl Plot {
    fn new(curve: &Curve<'_>, paper: Paper) -> Self {
        let (forecast, shown) = (curve.forecast, curve.shown);
        let last = forecast.samples.last().map_or(1.0, |s| s.time_s.to_h());
        let targets = curve.plan.segments.iter().map(|s| s.target);
        let highs = curve.band.unwrap_or_default().iter().map(|b| b.2);
        let hottest = forecast
            .samples
            .iter()
            .flat_map(|s| s.ware_c.iter().chain(&s.set_point_c).chain([&s.sensor_c]))
            .copied()
            .chain(targets)
            .chain(highs)
            .map(|t| shown.degrees(t))
            .filter(|t| t.is_finite())
            .fold(100.0, f64::max);
        let step = degree_step(shown);
        let (left, right) = paper.pick((20.0, 174.0), (13.5, 107.0));
        let hours = if last.is_finite() { last.max(1.0) } else { 1.0 };
        let top = marks::above(curve.plan.segments.len(), (left, right));
        Self {
            shown,
            edges: Edges {
                width: paper.width(),
                left,
                right,
                top,
                bottom: top + paper.pick(96.0, 88.0),
            },
            hours,
            bend: bent(curve.forecast.firing_s.to_h() / hours)
                .map_or((hours, 1.0), |(from, to)| (from * hours, to)),
            top: ((hottest + step * 0.1) / step).ceil() * step,
        }
    }

    pub fn x(&self, t: Span) -> f64 {
        let e = self.edges;
        let (bend, share) = self.bend;
        let h = t.to_h().clamp(0.0, self.hours);
        let along = if h <= bend {
            h / bend * share
        } else {
            share + (h - bend) / (self.hours - bend) * (1.0 - share)
        };
        e.left + along * (e.right - e.left)
    }

    /// Whether cooling is drawn closer than the firing.
    pub fn is_bent(&self) -> bool {
        self.bend.1 < 1.0
    }

    fn y_of(&self, degrees: f64) -> f64 {
        let e = self.edges;
        e.bottom - (degrees / self.top).clamp(0.0, 1.0) * (e.bottom - e.top)
    }

    pub fn y(&self, t: Temperature) -> f64 {
        self.y_of(self.shown.degrees(t))
    }
}

/// A firing that is short beside its cooling gets the larger part of the drawing: its share of time, and of the width.
fn bent(firing: f64) -> Option<(f64, f64)> {
    (firing > 0.02 && firing < 0.5).then_some((firing, 0.6))
}

fn degree_step(shown: Shown) -> f64 {
    if shown.fahrenheit { 400.0 } else { 200.0 }
}

/// Draws what to expect of a firing: set point, sensor, ware of the coolest and the hottest zone, ramps and holds,
/// steps by hand, the cooling and when the kiln may be opened; below it the segments with their reasons and the steps
/// with their times. Lines differ by their dashes. One unit is 1 mm of paper.
pub fn forecast_svg(curve: &Curve<'_>, paper: Paper) -> String {
    let (mut svg, plot, below) = plot(curve, paper);
    let below = legend::reasons(&mut svg, &plot, curve.plan, below);
    let below = legend::steps(&mut svg, &plot, curve, below);
    svg.finish(plot.edges.width, below, NAME)
}

/// The same without the lists, for a page that has them beside it.
pub fn curve_svg(curve: &Curve<'_>, paper: Paper) -> String {
    let (svg, plot, below) = plot(curve, paper);
    svg.finish(plot.edges.width, below, NAME)
}

const NAME: &str = "Temperatures to expect over the firing";

fn plot(curve: &Curve<'_>, paper: Paper) -> (Svg, Plot, f64) {
    let plot = Plot::new(curve, paper);
    let mut svg = Svg::new();
    if let Some(band) = curve.band {
        lines::band(&mut svg, &plot, band);
    }
    axes(&mut svg, &plot);
    bend(&mut svg, &plot, (plot.edges.top, plot.edges.bottom));
    marks::cooling(&mut svg, &plot, curve.forecast);
    let lines = lines::of(curve.forecast);
    for line in &lines {
        lines::draw(&mut svg, &plot, curve.forecast, line);
    }
    marks::segments(&mut svg, &plot, curve);
    let under = marks::steps(&mut svg, &plot, curve);
    let under = hours(&mut svg, &plot, under);
    let under = beside::draw(&mut svg, &plot, curve.forecast, &lines, under);
    let below = legend::key(&mut svg, &plot, curve, &lines, under);
    (svg, plot, below)
}

const THIN: &str = r#"stroke="rgb(150,150,150)" stroke-width="0.25""#;

fn axes(svg: &mut Svg, plot: &Plot) {
    let e = plot.edges;
    let step = degree_step(plot.shown);
    let mut degrees = 0.0;
    while degrees <= plot.top + 1.0 {
        let y = plot.y_of(degrees);
        svg.line((e.left, y), (e.right, y), THIN);
        let name = format!("{degrees:.0}");
        svg.text((e.left - 1.5, y + SMALL * 0.36), SMALL, Anchor::End, &name);
        degrees += step;
    }
    let unit = plot.shown.degree_sign();
    svg.bold((e.left - 1.5, e.top - 4.0), SMALL, Anchor::End, unit);
    for (x, _) in ticks(plot) {
        svg.line((x, e.top), (x, e.bottom + 1.5), THIN);
    }
    let frame = r#"fill="none" stroke="black" stroke-width="0.6""#;
    let size = (e.right - e.left, e.bottom - e.top);
    svg.rect((e.left, e.top), size, frame);
}

/// Two lines where the scale of time changes, if it does.
fn bend(svg: &mut Svg, plot: &Plot, (top, bottom): (f64, f64)) {
    if plot.is_bent() {
        let x = plot.x(Span::h(plot.bend.0));
        bend_mark(svg, x, (top, bottom));
    }
}

/// The mark of a change of scale.
fn bend_mark(svg: &mut Svg, x: f64, (top, bottom): (f64, f64)) {
    svg.rect((x - 0.6, top), (1.2, bottom - top), r#"fill="white""#);
    for x in [x - 0.6, x + 0.6] {
        svg.line(
            (x, top),
            (x, bottom),
            r#"stroke="black" stroke-width="0.3""#,
        );
    }
}

/// Places of the hours with their names, so far apart that none touch.
fn ticks(plot: &Plot) -> Vec<(f64, String)> {
    let mut all: Vec<(f64, String)> = Vec::new();
    let (bend, _) = plot.bend;
    for (from, to) in [(0.0, bend), (bend, plot.hours)] {
        let wide = plot.x(Span::h(to)) - plot.x(Span::h(from));
        let scale = wide / (to - from);
        if !scale.is_finite() {
            continue;
        }
        let steps = [1.0, 2.0, 4.0, 6.0, 12.0, 24.0, 48.0, 96.0];
        let step = steps.into_iter().find(|s| s * scale >= ROOM);
        let step = step.unwrap_or(ROOM / scale);
        let (first, last) = (
            (from / step).ceil() as usize,
            (to / step + 1e-9).floor() as usize,
        );
        for hour in (first..=last).map(|i| i as f64 * step) {
            let x = plot.x(Span::h(hour));
            if all
                .last()
                .is_none_or(|(before, _)| x - before >= ROOM - 1e-6)
            {
                all.push((x, trimmed(hour, 1)));
            }
        }
    }
    all
}

/// Room of the name of an hour, mm.
const ROOM: f64 = 10.0;

/// Names the hours below `top` and answers with the height of the drawing so far.
fn hours(svg: &mut Svg, plot: &Plot, top: f64) -> f64 {
    for (x, name) in ticks(plot) {
        svg.text((x, top + 4.5), SMALL, Anchor::Middle, &name);
    }
    let at = (plot.edges.right, top + 10.0);
    svg.bold(at, SMALL, Anchor::End, "hours from the start");
    top + 11.5
}
