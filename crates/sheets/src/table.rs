//! The forecast as a table for other programs.

use glost_model::forecast::Forecast;
use glost_model::shown::trimmed;

/// The curve as CSV (RFC 4180): a line a sample, the unit in each header. A set point that is over
/// is left empty.
pub fn forecast_csv(forecast: &Forecast) -> String {
    let mut head = vec![
        "time (h)".to_owned(),
        "set point (°C)".to_owned(),
        "sensor (°C)".to_owned(),
        "hottest element (°C)".to_owned(),
    ];
    for zone in &forecast.zones {
        head.push(format!("ware of {} (°C)", zone.tiers));
    }
    head.push("power (W)".to_owned());
    head.push("energy (kWh)".to_owned());
    let mut out = row(&head);
    for s in &forecast.samples {
        let mut cells = vec![
            trimmed(s.time_s.to_h(), 4),
            s.set_point_c
                .map_or_else(String::new, |t| trimmed(t.to_c(), 2)),
            trimmed(s.sensor_c.to_c(), 2),
            trimmed(s.element_c.to_c(), 2),
        ];
        // A sample that lacks a zone must not shift the columns after it.
        cells.extend((0..forecast.zones.len()).map(|i| {
            s.ware_c
                .get(i)
                .map_or_else(String::new, |t| trimmed(t.to_c(), 2))
        }));
        cells.push(trimmed(s.power_w.to_w(), 1));
        cells.push(trimmed(s.energy_j.to_kwh(), 4));
        out.push_str(&row(&cells));
    }
    out
}

/// One line of CSV (RFC 4180).
pub fn row(cells: &[String]) -> String {
    let quoted: Vec<String> = cells.iter().map(|c| quoted(c)).collect();
    quoted.join(",") + "\r\n"
}

fn quoted(cell: &str) -> String {
    if cell.contains(['"', ',', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}
