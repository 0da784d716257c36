//! The lines of the plot: each with its dashes and its name, and the band of doubt.

use glost_model::forecast::{Forecast, Sample};
use glost_model::{Span, Temperature};

use super::Plot;
use crate::svg::{Spot, Svg};

/// More points than this cannot be told apart on paper.
pub(super) const POINTS: usize = 500;

/// One line of the plot: its look and where its value stands in a sample.
pub(super) struct Line {
    pub name: String,
    pub look: &'static str,
    value: Value,
}

enum Value {
    SetPoint,
    Sensor,
    Ware(usize),
}

/// Sensor, set point on top of it, and the ware of the zones that get least and most.
pub(super) fn of(forecast: &Forecast) -> Vec<Line> {
    let line = |name: &str, look, value| Line {
        name: name.to_owned(),
        look,
        value,
    };
    let mut out = vec![
        line(
            "sensor",
            r#"fill="none" stroke="rgb(115,115,115)" stroke-width="1.3""#,
            Value::Sensor,
        ),
        line(
            "set point",
            r#"fill="none" stroke="black" stroke-width="0.45" stroke-dasharray="3 1.2""#,
            Value::SetPoint,
        ),
    ];
    let by_heat = |a: &(usize, f64), b: &(usize, f64)| a.1.total_cmp(&b.1);
    let zones = || forecast.zones.iter().map(|z| z.cone_position).enumerate();
    let (Some((coolest, _)), Some((hottest, _))) =
        (zones().min_by(by_heat), zones().max_by(by_heat))
    else {
        return out;
    };
    let named = |word: &str, i: usize| match forecast.zones[i].tiers.as_str() {
        "" => format!("{word} ware"),
        tiers => format!("{word} ware (tier {tiers})"),
    };
    let dots = r#"fill="none" stroke="black" stroke-width="1" stroke-dasharray="0.01 1.9" stroke-linecap="round""#;
    let dash_dot =
        r#"fill="none" stroke="black" stroke-width="0.7" stroke-dasharray="4 1.4 0.8 1.4""#;
    out.push(line(&named("coolest", coolest), dots, Value::Ware(coolest)));
    if hottest != coolest {
        let name = named("hottest", hottest);
        out.push(line(&name, dash_dot, Value::Ware(hottest)));
    }
    out
}

impl Line {
    pub fn is_ware(&self) -> bool {
        matches!(self.value, Value::Ware(_))
    }

    /// Its value in a sample.
    pub fn at(&self, s: &Sample) -> Option<Temperature> {
        match self.value {
            Value::SetPoint => s.set_point_c,
            Value::Sensor => Some(s.sensor_c),
            Value::Ware(i) => s.ware_c.get(i).copied(),
        }
    }
}

pub(super) fn draw(svg: &mut Svg, plot: &Plot, forecast: &Forecast, line: &Line) {
    let every = forecast.samples.len().div_ceil(POINTS).max(1);
    let spots: Vec<Spot> = forecast
        .samples
        .iter()
        .step_by(every)
        .filter_map(|s| line.at(s).map(|t| (plot.x(s.time_s), plot.y(t))))
        .filter(|s| s.0.is_finite() && s.1.is_finite())
        .collect();
    if spots.len() > 1 {
        svg.polyline(&spots, line.look);
    }
}

/// Look of the band of doubt.
pub(super) const BAND: &str = r#"fill="rgb(205,205,205)""#;

/// The band, behind all else.
pub(super) fn band(svg: &mut Svg, plot: &Plot, band: &[(Span, Temperature, Temperature)]) {
    let edge = |of: fn(&(Span, Temperature, Temperature)) -> Temperature| {
        band.iter()
            .map(move |b| (plot.x(b.0), plot.y(of(b))))
            .filter(|s| s.0.is_finite() && s.1.is_finite())
    };
    let mut around: Vec<Spot> = edge(|b| b.2).collect();
    let mut under: Vec<Spot> = edge(|b| b.1).collect();
    under.reverse();
    around.extend(under);
    if around.len() > 3 {
        svg.polygon(&around, BAND);
    }
}
