//! What a value is, chosen from lists.

use glost_feed::layout::{Cold, Couple, Degrees, Holds, Scale};
use glost_model::Temperature;

use super::{Asked, Written};

/// What a column, a value or a register may be.
pub const ROLES: [(&str, &str); 12] = [
    ("", "not read"),
    ("time", "time, or date and time"),
    ("date", "date alone"),
    ("sensor", "the controller's sensor"),
    ("set-point", "set point"),
    ("duty", "duty, 0 to 1"),
    ("percent", "duty, 0 to 100 %"),
    ("watt", "power, W"),
    ("kilowatt", "power, kW"),
    ("meter", "meter, kWh"),
    ("other", "a further sensor, by its name"),
    ("cold", "terminals of the thermocouple"),
];

/// Units of temperatures.
pub const UNITS: [(&str, &str); 8] = [
    ("C", "°C"),
    ("F", "°F"),
    ("K", "K"),
    ("mv-K", "mV, type K"),
    ("mv-N", "mV, type N"),
    ("mv-S", "mV, type S"),
    ("mv-R", "mV, type R"),
    ("mv-B", "mV, type B"),
];

const COUPLES: [(&str, Couple); 5] = [
    ("mv-K", Couple::K),
    ("mv-N", Couple::N),
    ("mv-S", Couple::S),
    ("mv-R", Couple::R),
    ("mv-B", Couple::B),
];
/// Terminals in a warm control box; common practice, no source.
const TERMINALS: Temperature = Temperature::c(25.0);

fn scale(unit: &str) -> Scale {
    match unit {
        "F" => Scale::Fahrenheit,
        "K" => Scale::Kelvin,
        _ => Scale::Celsius,
    }
}

fn unit(text: &str, cold: Cold) -> Degrees {
    let couple = COUPLES.iter().find(|c| c.0 == text);
    match (couple, text) {
        (Some((_, couple)), _) => Degrees::Millivolts {
            couple: *couple,
            cold,
        },
        (None, "F") => Degrees::Fahrenheit,
        (None, "K") => Degrees::Kelvin,
        _ => Degrees::Celsius,
    }
}

fn unit_word(unit: Degrees) -> &'static str {
    match unit {
        Degrees::Celsius => "C",
        Degrees::Fahrenheit => "F",
        Degrees::Kelvin => "K",
        Degrees::Millivolts { couple, .. } => COUPLES
            .iter()
            .find(|c| c.1 == couple)
            .map_or("mv-K", |c| c.0),
    }
}

/// How warm the terminals are: as the row of that role tells, else as the field says.
pub fn cold(asked: &mut Asked<'_>, rows: usize) -> Cold {
    if let Some(at) = (0..rows).find(|n| asked.row("role", *n) == "cold") {
        let scale = scale(asked.row("unit", at));
        return Cold::Column { at, scale };
    }
    // Who reads °F types it so.
    let fahrenheit = asked.get("cold_unit") == "F" && !asked.get("cold").is_empty();
    let remedy = if fahrenheit {
        "Write °F from −40 to 212, as 77"
    } else {
        "Write °C from −40 to 100, as 25"
    };
    let found = asked.number("cold", TERMINALS.to_c(), remedy);
    let found = if fahrenheit {
        Temperature::f(found)
    } else {
        Temperature::c(found)
    };
    if (-40.0..=100.0).contains(&found.to_c()) {
        return Cold::Fixed(found);
    }
    asked.fault("cold", "terminals are not that warm", remedy);
    Cold::Fixed(TERMINALS)
}

/// What row `n` holds; nothing for a time, or what is not read.
pub fn holds(asked: &mut Asked<'_>, n: usize, cold: Cold) -> Option<Holds> {
    let unit = unit(asked.row("unit", n), cold);
    match asked.row("role", n) {
        "sensor" => Some(Holds::Sensor { unit }),
        "set-point" => Some(Holds::SetPoint { unit }),
        "duty" => Some(Holds::Duty { percent: false }),
        "percent" => Some(Holds::Duty { percent: true }),
        "watt" => Some(Holds::Power { kilo: false }),
        "kilowatt" => Some(Holds::Power { kilo: true }),
        "meter" => Some(Holds::Meter),
        "other" => {
            let name = asked.row("name", n).to_owned();
            if name.is_empty() {
                asked.fault(
                    &format!("name.{n}"),
                    "the further sensor has no name",
                    "Name it, for example by where it sits",
                );
            }
            Some(Holds::Other { name, unit })
        }
        _ => None,
    }
}

/// The fields of what row `n` holds.
pub fn written(all: &mut Written, n: usize, holds: &Holds) {
    let mut put = |name: &str, value: &str| all.push((format!("{name}.{n}"), value.to_owned()));
    let (role, unit, name) = match holds {
        Holds::Sensor { unit } => ("sensor", Some(unit), ""),
        Holds::SetPoint { unit } => ("set-point", Some(unit), ""),
        Holds::Other { name, unit } => ("other", Some(unit), name.as_str()),
        Holds::Duty { percent: false } => ("duty", None, ""),
        Holds::Duty { percent: true } => ("percent", None, ""),
        Holds::Power { kilo: false } => ("watt", None, ""),
        Holds::Power { kilo: true } => ("kilowatt", None, ""),
        Holds::Meter => ("meter", None, ""),
    };
    put("role", role);
    put("name", name);
    put("unit", unit.map_or("C", |u| unit_word(*u)));
    match unit {
        Some(Degrees::Millivolts {
            cold: Cold::Fixed(t),
            ..
        }) => all.push(("cold".to_owned(), format!("{:.0}", t.to_c()))),
        Some(Degrees::Millivolts {
            cold: Cold::Column { at, scale },
            ..
        }) => {
            let word = match scale {
                Scale::Celsius => "C",
                Scale::Fahrenheit => "F",
                Scale::Kelvin => "K",
            };
            all.push((format!("role.{at}"), "cold".to_owned()));
            all.push((format!("unit.{at}"), word.to_owned()));
        }
        _ => {}
    }
}
