//! What the other columns hold.

use glost_model::Temperature;

use super::signs::{Sign, Unit, number, sign, unit, words};
use super::{Doubts, Table};
use crate::layout::{Cold, Column, Couple, Degrees, Holds, Scale};

/// A number this large is no °C of a studio kiln.
const BEYOND_C: f64 = 1400.0;
/// Terminals in a warm control box; common practice, no source.
const TERMINALS: Temperature = Temperature::c(25.0);

pub(super) fn guess(table: &Table, taken: &[usize], doubts: &mut Doubts) -> Vec<Column> {
    let free = (0..table.width).filter(|at| !taken.contains(at));
    let free: Vec<usize> = free
        .filter(|at| table.all(*at, |c| number(c).is_some()))
        .collect();
    let signs: Vec<(usize, Option<Sign>)> = free
        .iter()
        .map(|at| (*at, sign(&words(table.title(*at)))))
        .collect();
    let cold = signs
        .iter()
        .find(|(_, s)| *s == Some(Sign::Cold))
        .map(|(at, _)| *at);
    let sensor = sensor(table, &signs, doubts);
    let mut columns: Vec<Column> = Vec::new();
    for (at, sign) in signs {
        let mut add = |holds| columns.push(Column { at, holds });
        match sign {
            _ if Some(at) == sensor => {
                let unit = degrees(table, at, cold, doubts);
                add(Holds::Sensor { unit });
            }
            Some(Sign::SetPoint) => {
                let unit = degrees(table, at, None, doubts);
                add(Holds::SetPoint { unit });
            }
            Some(Sign::Duty) => {
                let percent = percent(table, at, doubts);
                add(Holds::Duty { percent });
            }
            Some(Sign::Power { kilo }) => add(Holds::Power { kilo }),
            Some(Sign::Meter) => add(Holds::Meter),
            sign if sign == Some(Sign::Sensor) || unit(&words(table.title(at))).is_some() => {
                if Some(at) == cold {
                    continue;
                }
                let unit = degrees(table, at, cold, doubts);
                let name = table.title(at).to_owned();
                add(Holds::Other { name, unit });
            }
            _ => doubts.note(
                Some(at),
                "What the column holds is not known; it is not read.",
            ),
        }
    }
    alike(columns, doubts)
}

/// The controller's sensor: the first that a title names, or the first temperature, or the first number.
fn sensor(table: &Table, signs: &[(usize, Option<Sign>)], doubts: &mut Doubts) -> Option<usize> {
    let named = signs.iter().find(|(_, s)| *s == Some(Sign::Sensor));
    if let Some((at, _)) = named {
        return Some(*at);
    }
    let with_unit = signs
        .iter()
        .find(|(at, s)| s.is_none() && unit(&words(table.title(*at))).is_some());
    let found = with_unit
        .or_else(|| signs.iter().find(|(_, s)| s.is_none()))
        .map(|(at, _)| *at);
    match found {
        Some(at) => doubts.note(
            Some(at),
            "No title names the controller's sensor; this column was taken for it.",
        ),
        None => doubts.note(None, "No column was found for the controller's sensor."),
    }
    found
}

fn degrees(table: &Table, at: usize, cold: Option<usize>, doubts: &mut Doubts) -> Degrees {
    let behind = table.column(at).next().and_then(number).map_or("", |n| n.1);
    let named = unit(&words(table.title(at))).or_else(|| unit(&words(behind)));
    let values = table.numbers(at);
    match named {
        Some(Unit::Plain(unit)) => unit,
        Some(Unit::Millivolts) => {
            doubts.note(
                Some(at),
                "A voltage: its thermocouple was taken for type K. Say which type it is.",
            );
            let cold = match cold {
                Some(at) => Cold::Column {
                    at,
                    scale: scale(table, at),
                },
                None => {
                    doubts.note(
                        Some(at),
                        "How warm the terminals are is not told; 25 °C were taken.",
                    );
                    Cold::Fixed(TERMINALS)
                }
            };
            Degrees::Millivolts {
                couple: Couple::K,
                cold,
            }
        }
        None if values.iter().any(|v| *v > BEYOND_C) => {
            doubts.note(
                Some(at),
                "No unit is named; the numbers are too large for °C, so °F were taken.",
            );
            Degrees::Fahrenheit
        }
        None => {
            doubts.note(Some(at), "No unit is named; °C were taken.");
            Degrees::Celsius
        }
    }
}

fn scale(table: &Table, at: usize) -> Scale {
    match unit(&words(table.title(at))) {
        Some(Unit::Plain(Degrees::Fahrenheit)) => Scale::Fahrenheit,
        Some(Unit::Plain(Degrees::Kelvin)) => Scale::Kelvin,
        _ => Scale::Celsius,
    }
}

fn percent(table: &Table, at: usize, doubts: &mut Doubts) -> bool {
    let named = table.title(at).contains('%') || table.column(at).any(|c| c.ends_with('%'));
    if named || table.numbers(at).iter().any(|v| *v > 1.0) {
        return true;
    }
    doubts.note(
        Some(at),
        "Whether the duty goes to 1 or to 100 % is not certain; 1 was taken.",
    );
    false
}

/// A thing is told by one column; of more the first is read.
fn alike(columns: Vec<Column>, doubts: &mut Doubts) -> Vec<Column> {
    let mut kept: Vec<Column> = Vec::new();
    for mut column in columns {
        let same = |k: &Column| match (&k.holds, &column.holds) {
            (Holds::Other { name: a, .. }, Holds::Other { name: b, .. }) => a == b,
            (Holds::Power { .. } | Holds::Meter, Holds::Power { .. } | Holds::Meter) => true,
            (a, b) => std::mem::discriminant(a) == std::mem::discriminant(b),
        };
        if !kept.iter().any(same) {
            kept.push(column);
            continue;
        }
        match &mut column.holds {
            Holds::Other { name, .. } => {
                *name = format!("{name} {}", column.at + 1);
                kept.push(column);
            }
            _ => doubts.note(
                Some(column.at),
                "Another column tells the same; this one is not read.",
            ),
        }
    }
    kept
}
