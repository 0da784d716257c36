//! The forecast of a firing as a curve over hours.

mod legend;
mod marks;

use glost_model::doubt::BandAt;
use glost_model::firing::FiringPlan;
use glost_model::forecast::{Forecast, Sample};
use glost_model::shown::Shown;
use glost_model::shown::trimmed;
use glost_model::studio::Studio;
use glost_model::{Span, Temperature};

use crate::svg::{Anchor, SMALL, Spot, Svg};

/// Width of the drawing, mm of paper.
pub(super) const WIDTH: f64 = 180.0;
/// Edges of the plot, mm of paper.
pub(super) const LEFT: f64 = 20.0;
pub(super) const RIGHT: f64 = 174.0;
pub(super) const TOP: f64 = 14.0;
pub(super) const BOTTOM: f64 = 110.0;
/// More points than this cannot be told apart on paper.
const POINTS: usize = 500;

/// From hours and degrees to paper.
pub(super) struct Plot {
    pub shown: Shown,
    hours: f64,
    top: f64,
}

impl Plot {
    fn new(forecast: &Forecast, plan: &FiringPlan, shown: Shown) -> Self {
        let last = forecast.samples.last().map_or(1.0, |s| s.time_s.to_h());
        let temperatures = forecast
            .samples
            .iter()
            .flat_map(|s| s.ware_c.iter().chain(&s.set_point_c).chain([&s.sensor_c]))
            .chain(plan.segments.iter().map(|s| &s.target));
        let hottest = temperatures
            .map(|&t| shown.degrees(t))
            .filter(|t| t.is_finite())
            .fold(100.0, f64::max);
        let step = degree_step(shown);
        Self {
            shown,
            hours: if last.is_finite() { last.max(1.0) } else { 1.0 },
            top: ((hottest + step * 0.1) / step).ceil() * step,
        }
    }

    pub fn x(&self, t: Span) -> f64 {
        LEFT + (t.to_h() / self.hours).clamp(0.0, 1.0) * (RIGHT - LEFT)
    }

    fn y_of(&self, degrees: f64) -> f64 {
        BOTTOM - (degrees / self.top).clamp(0.0, 1.0) * (BOTTOM - TOP)
    }

    pub fn y(&self, t: Temperature) -> f64 {
        self.y_of(self.shown.degrees(t))
    }
}

fn degree_step(shown: Shown) -> f64 {
    if shown.fahrenheit { 400.0 } else { 200.0 }
}

/// Draws what to expect of a firing: set point, sensor, ware of the coolest and the hottest zone,
/// the segments as numbered marks with their reasons, and the cooling. Lines differ by their
/// dashes. One unit is 1 mm of paper.
pub fn forecast_svg(forecast: &Forecast, plan: &FiringPlan, studio: &Studio) -> String {
    let (mut svg, below) = plot(forecast, plan, studio.shown);
    let height = legend::reasons(&mut svg, studio.shown, plan, below);
    svg.finish(WIDTH, height, NAME)
}

/// The same without the reasons, for a page that lists them beside it.
pub fn bare_svg(forecast: &Forecast, plan: &FiringPlan, studio: &Studio) -> String {
    let (svg, below) = plot(forecast, plan, studio.shown);
    svg.finish(WIDTH, below, NAME)
}

const NAME: &str = "Temperatures to expect over the firing";

fn plot(forecast: &Forecast, plan: &FiringPlan, shown: Shown) -> (Svg, f64) {
    let plot = Plot::new(forecast, plan, shown);
    let mut svg = Svg::new();
    axes(&mut svg, &plot);
    marks::cooling(&mut svg, &plot, forecast);
    let mut lines = lines(forecast);
    lines.extend(band(&mut svg, &plot, forecast));
    for line in &lines {
        draw(&mut svg, &plot, forecast, line);
    }
    marks::segments(&mut svg, &plot, forecast, plan);
    let below = legend::lines(&mut svg, &lines);
    (svg, below)
}

/// One line of the plot: its look and where its value stands in a sample.
pub(super) struct Line {
    pub name: String,
    pub look: &'static str,
    value: Value,
}

enum Value {
    /// Drawn already.
    Band,
    SetPoint,
    Sensor,
    Ware(usize),
}

/// The spread of the ware in the middle among kilns like this one, under all lines.
fn band(svg: &mut Svg, plot: &Plot, forecast: &Forecast) -> Option<Line> {
    let curve = &forecast.doubt.as_ref()?.curve;
    let edge = |of: fn(&BandAt) -> Temperature| {
        let spot = move |b: &BandAt| (plot.x(b.time_s), plot.y(of(b)));
        curve
            .iter()
            .map(spot)
            .filter(|s| s.0.is_finite() && s.1.is_finite())
    };
    let upper: Vec<Spot> = edge(|b| b.ware_c.high).collect();
    let lower: Vec<Spot> = edge(|b| b.ware_c.low).collect();
    let around: Vec<Spot> = upper.into_iter().chain(lower.into_iter().rev()).collect();
    if around.len() < 4 {
        return None;
    }
    svg.polygon(&around, r#"fill="rgb(205,205,205)" stroke="none""#);
    Some(Line {
        name: "middle ware, 8 kilns of 10".to_owned(),
        look: r#"fill="none" stroke="rgb(205,205,205)" stroke-width="4""#,
        value: Value::Band,
    })
}

fn lines(forecast: &Forecast) -> Vec<Line> {
    let line = |name: &str, look, value| Line {
        name: name.to_owned(),
        look,
        value,
    };
    let mut out = vec![
        line(
            "set point",
            r#"fill="none" stroke="black" stroke-width="0.4" stroke-dasharray="3 1.2""#,
            Value::SetPoint,
        ),
        line(
            "sensor",
            r#"fill="none" stroke="black" stroke-width="1""#,
            Value::Sensor,
        ),
    ];
    let by_heat = |a: &(usize, f64), b: &(usize, f64)| a.1.total_cmp(&b.1);
    let zones = || forecast.zones.iter().map(|z| z.cone_position).enumerate();
    let (Some((coolest, _)), Some((hottest, _))) =
        (zones().min_by(by_heat), zones().max_by(by_heat))
    else {
        return out;
    };
    let named = |word: &str, i: usize| format!("{word} ware (tier {})", forecast.zones[i].tiers);
    let dots = r#"fill="none" stroke="black" stroke-width="1" stroke-dasharray="0.01 1.9" stroke-linecap="round""#;
    let dash_dot =
        r#"fill="none" stroke="black" stroke-width="0.7" stroke-dasharray="4 1.4 0.8 1.4""#;
    out.push(line(&named("coolest", coolest), dots, Value::Ware(coolest)));
    if hottest != coolest {
        out.push(line(
            &named("hottest", hottest),
            dash_dot,
            Value::Ware(hottest),
        ));
    }
    out
}

impl Value {
    fn of(&self, s: &Sample) -> Option<Temperature> {
        match self {
            Self::Band => None,
            Self::SetPoint => s.set_point_c,
            Self::Sensor => Some(s.sensor_c),
            Self::Ware(i) => s.ware_c.get(*i).copied(),
        }
    }
}

fn draw(svg: &mut Svg, plot: &Plot, forecast: &Forecast, line: &Line) {
    let every = forecast.samples.len().div_ceil(POINTS).max(1);
    let spots: Vec<Spot> = forecast
        .samples
        .iter()
        .step_by(every)
        .filter_map(|s| line.value.of(s).map(|t| (plot.x(s.time_s), plot.y(t))))
        .filter(|s| s.0.is_finite() && s.1.is_finite())
        .collect();
    if spots.len() > 1 {
        svg.polyline(&spots, line.look);
    }
}

fn axes(svg: &mut Svg, plot: &Plot) {
    let thin = r#"stroke="rgb(150,150,150)" stroke-width="0.25""#;
    let step = degree_step(plot.shown);
    let mut degrees = 0.0;
    while degrees <= plot.top + 1.0 {
        let y = plot.y_of(degrees);
        svg.line((LEFT, y), (RIGHT, y), thin);
        let name = format!("{degrees:.0}");
        svg.text((LEFT - 1.5, y + SMALL * 0.36), SMALL, Anchor::End, &name);
        degrees += step;
    }
    svg.bold(
        (LEFT - 1.5, TOP - 7.0),
        SMALL,
        Anchor::End,
        plot.shown.degree_sign(),
    );
    let steps = [1.0, 2.0, 4.0, 6.0, 12.0, 24.0, 48.0];
    let step = steps.into_iter().find(|s| plot.hours / s <= 14.0);
    let step = step.unwrap_or(plot.hours / 10.0);
    let mut hour = 0.0;
    while hour <= plot.hours {
        let x = plot.x(Span::h(hour));
        svg.line((x, TOP), (x, BOTTOM + 1.5), thin);
        let name = trimmed(hour, 1);
        svg.text((x, BOTTOM + 6.0), SMALL, Anchor::Middle, &name);
        hour += step;
    }
    let frame = r#"fill="none" stroke="black" stroke-width="0.6""#;
    svg.rect((LEFT, TOP), (RIGHT - LEFT, BOTTOM - TOP), frame);
    svg.bold(
        (RIGHT, BOTTOM + 11.5),
        SMALL,
        Anchor::End,
        "hours from the start",
    );
}
