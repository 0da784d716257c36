//! A sample as a logger writes it.

use glost_model::readings::Sample;

/// The first line.
pub const TITLES: &str = "time,sensor_c,set_point_c,duty_percent,meter_kwh\n";

/// A line, with its end.
pub fn line(sample: &Sample) -> String {
    let or = |value: Option<f64>, digits: usize| {
        value.map_or_else(String::new, |v| format!("{v:.digits$}"))
    };
    format!(
        "{},{},{},{},{}\n",
        sample.at.strftime("%Y-%m-%dT%H:%M:%SZ"),
        or(sample.sensor.map(|t| t.to_c()), 0),
        or(sample.set_point.map(|t| t.to_c()), 0),
        or(sample.duty.map(|d| d * 100.0), 1),
        or(sample.meter.map(|m| m.to_kwh()), 2)
    )
}
