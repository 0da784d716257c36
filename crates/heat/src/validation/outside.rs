//! The whole small kiln against SciPy, which integrates the same equations by another program.

use super::kilns::{SMALL, kiln, small_firing, tariff};
use super::{Case, Group, Of};
use crate::kiln::{Extent, KilnModel, simulate};
use glost_model::forecast::{Forecast, Sample};

/// What it made of them.
const ANSWERS: &str = include_str!("../../tests/outside/small_kiln.csv");

/// The equations as they are now.
pub fn small_equations() -> Option<String> {
    let model = KilnModel::new(kiln(&SMALL)).ok()?;
    Some(model.equations(&small_firing()?))
}

/// The firing by Glost.
fn ours() -> Option<Forecast> {
    let model = KilnModel::new(kiln(&SMALL)).ok()?;
    simulate(&model, &small_firing()?, &tariff(), Extent::Cooling).ok()
}

/// Rows of numbers: time, s; sensor and tiers, °C; energy, kWh.
fn answers() -> Vec<Vec<f64>> {
    let rows = ANSWERS
        .lines()
        .filter(|l| l.starts_with(|c: char| c.is_ascii_digit()));
    rows.map(|l| l.split(',').filter_map(|c| c.parse().ok()).collect())
        .collect()
}

/// Ours in the order of a row.
fn row(s: &Sample) -> Vec<f64> {
    let temps = std::iter::once(s.sensor_c).chain(s.ware_c.iter().copied());
    std::iter::once(s.time_s.to_s())
        .chain(temps.map(|t| t.to_c()))
        .chain([s.energy_j.to_kwh()])
        .collect()
}

pub fn group() -> Group {
    let rows = answers();
    let samples: Vec<Vec<f64>> = ours()
        .map(|f| f.samples.iter().map(row).collect())
        .unwrap_or_default();
    let at = |time: f64| {
        samples
            .iter()
            .find(|s| s.first().is_some_and(|t| (t - time).abs() < 1e-3))
    };
    let source = "SciPy 1.17.1, solve_ivp BDF, relative tolerance 1e-8, on the same equations";
    let columns = rows.first().map_or(0, Vec::len);
    let cases = (1..columns).map(|column| {
        let pairs = rows.iter().filter_map(|r| {
            let (time, answer) = (*r.first()?, *r.get(column)?);
            // The last row may come after the end of ours.
            Some((time, answer, *at(time)?.get(column)?))
        });
        let (last, tolerance) = (column + 1 == columns, 3.0);
        let worse = |a: &(f64, f64, f64), b: &(f64, f64, f64)| {
            (a.1 - a.2).abs().total_cmp(&(b.1 - b.2).abs())
        };
        let count = pairs.clone().count();
        let (time, answer, ours) = pairs
            .max_by(worse)
            .unwrap_or((f64::NAN, f64::NAN, f64::NAN));
        let what = match column {
            1 => "sensor".into(),
            _ if last => "energy drawn".into(),
            tier => format!("tier {}", tier - 1),
        };
        let name = format!(
            "{what}, worst of {count} instants, at {:.1} h",
            time / 3600.0
        );
        if last {
            Of(source, "kWh", answer * 0.01).case(name, ours, answer)
        } else {
            Of(source, "°C", tolerance).case(name, ours, answer)
        }
    });
    let cases: Vec<Case> = cases.collect();
    Group {
        name: "Whole kiln",
        what: "A kiln of 0.074 m³ with three tiers through drying, a ramp that asks for all its power, a hold, a \
               controlled cooling and the fall to 49 °C, tier by tier.",
        cases,
    }
}
