//! A layout checked, and numbers put where it says.

use std::collections::BTreeSet;

use jiff::tz::TimeZone;

use glost_model::fault::Fault;
use glost_model::readings::Sample;
use glost_model::{Energy, Power, Temperature};

use super::record::Record;
use super::{Sum, decimal, time, within};
use crate::cell::{Faults, Wrong, short};
use crate::layout::{Cold, Degrees, Holds, Layout, Reference, Scale, Time};

/// Most columns of a table.
const MOST_COLUMN: usize = 999;
/// Most voltage of a thermocouple, mV: type K gives 54.9 at its end (ITS-90).
const MOST_MV: f64 = 100.0;

impl Layout {
    /// The title of a column, or its number as people count.
    pub(crate) fn title(&self, at: usize) -> String {
        match self.titles.get(at) {
            Some(title) if !title.is_empty() => title.clone(),
            _ => format!("column {}", at.saturating_add(1)),
        }
    }

    /// A cell with something in it.
    pub(crate) fn cell<'r>(&self, record: &'r Record, at: usize) -> Result<Option<&'r str>, Wrong> {
        let Some(text) = record.get(at) else {
            let what = "the line has too few cells".to_owned();
            let remedy =
                "Keep a separator for each empty cell; a line that was cut short is not read";
            return Err((what, remedy.to_owned()));
        };
        let absent = text.is_empty() || self.absent.iter().any(|w| w.eq_ignore_ascii_case(text));
        Ok((!absent).then_some(text))
    }

    fn time_columns(&self) -> Vec<usize> {
        match self.time {
            Time::Arrival => Vec::new(),
            Time::Stamp { at, .. } | Time::Unix { at, .. } | Time::Elapsed { at, .. } => vec![at],
            Time::DateAndTime { date, time, .. } => vec![date, time],
        }
    }
}

/// The unit of a column of temperatures.
pub(crate) const fn unit_of(holds: &Holds) -> Option<Degrees> {
    match holds {
        Holds::Sensor { unit } | Holds::SetPoint { unit } | Holds::Other { unit, .. } => {
            Some(*unit)
        }
        _ => None,
    }
}

/// The zone of times that name none.
pub(super) fn check(
    layout: &Layout,
    home: &TimeZone,
    zero: bool,
    file: &str,
) -> Result<TimeZone, Vec<Fault>> {
    let mut faults = Faults::of(file);
    let mut note = |field: &str, what: String, remedy: &str| {
        faults.note(None, field, (what, remedy.to_owned()));
    };
    let mut columns = layout.time_columns();
    columns.extend(layout.columns.iter().map(|c| c.at));
    for column in &layout.columns {
        if let Some(Degrees::Millivolts {
            cold: Cold::Column { at, .. },
            ..
        }) = unit_of(&column.holds)
        {
            columns.push(at);
        }
    }
    if columns.iter().any(|at| *at > MOST_COLUMN) {
        note(
            "columns",
            format!("a column lies beyond the {}th", MOST_COLUMN + 1),
            "Name a column of the file",
        );
    }
    if layout.columns.is_empty() {
        note(
            "columns",
            "no column holds a reading".to_owned(),
            "Say at least which column is the sensor",
        );
    }
    let mut seen = BTreeSet::new();
    for column in &layout.columns {
        let (key, name) = role(&column.holds);
        if key == "other" && name.trim().is_empty() {
            note(
                &layout.title(column.at),
                "a further sensor has no name".to_owned(),
                "Name it, for example by where it sits",
            );
        } else if !seen.insert((key, name)) {
            note(
                &layout.title(column.at),
                format!(
                    "another column holds the same ({})",
                    short(&format!("{key} {name}"))
                ),
                "Take out one of the two, or name it as a further sensor",
            );
        }
    }
    if matches!(layout.time, Time::Elapsed { .. }) && !zero {
        note(
            "time",
            "the log counts time since it began, and it is not said when that was".to_owned(),
            "Say when the log began",
        );
    }
    let zone = match &layout.time {
        Time::Stamp {
            zone: Some(name), ..
        }
        | Time::DateAndTime {
            zone: Some(name), ..
        } => {
            let found = time::fixed(name)
                .map(TimeZone::fixed)
                .or_else(|| TimeZone::get(name).ok());
            if found.is_none() {
                note(
                    "time",
                    format!("'{}' is no time zone known here", short(name)),
                    "Write it as Europe/Berlin, or as an offset from UTC, +01:00",
                );
            }
            found
        }
        _ => None,
    };
    if faults.is_empty() {
        return Ok(zone.unwrap_or_else(|| home.clone()));
    }
    Err(faults.into_sorted())
}

/// Power and meter are one role: both end in what the meter shows.
fn role(holds: &Holds) -> (&'static str, &str) {
    match holds {
        Holds::Sensor { .. } => ("sensor", ""),
        Holds::SetPoint { .. } => ("set point", ""),
        Holds::Other { name, .. } => ("other", name),
        Holds::Duty { .. } => ("duty", ""),
        Holds::Power { .. } | Holds::Meter => ("energy", ""),
    }
}

/// Reads the text of a cell into the sample.
pub(super) fn read(
    layout: &Layout,
    record: &Record,
    text: &str,
    holds: &Holds,
    reference: Reference,
    sample: &mut Sample,
    sum: &mut Sum,
) -> Result<(), Wrong> {
    let comma = layout.decimal_comma;
    let value = decimal(text, comma, words(holds))?;
    let cold = match unit_of(holds) {
        Some(Degrees::Millivolts {
            cold: Cold::Column { at, scale },
            ..
        }) => {
            let Some(text) = layout.cell(record, at)? else {
                let what = "there is a voltage and no temperature of its terminals".to_owned();
                return Err((
                    what,
                    "Give the cold junction, or set a fixed one in the layout".to_owned(),
                ));
            };
            Some(scale.of(decimal(text, comma, scale_words(scale))?))
        }
        Some(Degrees::Millivolts {
            cold: Cold::Fixed(t),
            ..
        }) => Some(t),
        _ => None,
    };
    put(sample, holds, value, cold, reference, sum)
}

/// Puts a number where it belongs. What no instrument tells of a kiln is left to the guard, which says so and withholds it.
pub(crate) fn put(
    sample: &mut Sample,
    holds: &Holds,
    value: f64,
    cold: Option<Temperature>,
    reference: Reference,
    sum: &mut Sum,
) -> Result<(), Wrong> {
    let temperature = |unit: Degrees| match unit {
        Degrees::Celsius => Ok(Temperature::c(value)),
        Degrees::Fahrenheit => Ok(Temperature::f(value)),
        Degrees::Kelvin => Ok(Temperature::k(value)),
        Degrees::Millivolts { couple, .. } => {
            let mv = within(value, -MOST_MV, MOST_MV, "mV")?;
            cold.and_then(|cold| reference(mv, couple, cold)).ok_or_else(|| {
                (
                    format!("{value} mV is out of the range of a type {couple:?}"),
                    "See that the sensor is connected, and that type and unit in the layout are its own".to_owned(),
                )
            })
        }
    };
    match holds {
        Holds::Sensor { unit } => sample.sensor = Some(temperature(*unit)?),
        Holds::SetPoint { unit } => sample.set_point = Some(temperature(*unit)?),
        Holds::Other { name, unit } => sample.others.push((name.clone(), temperature(*unit)?)),
        Holds::Duty { percent } => sample.duty = Some(if *percent { value / 100.0 } else { value }),
        Holds::Power { kilo } => {
            let power = if *kilo {
                Power::kw(value)
            } else {
                Power::w(value)
            };
            within(power.to_kw(), 0.0, 10_000.0, "kW")?;
            sample.meter = Some(sum.add(sample.at, power));
        }
        Holds::Meter => sample.meter = Some(Energy::kwh(value)),
    }
    Ok(())
}

fn words(holds: &Holds) -> &'static [&'static str] {
    match holds {
        Holds::Duty { percent: true } => &["%"],
        Holds::Duty { percent: false } => &[],
        Holds::Power { kilo: true } => &["kW"],
        Holds::Power { kilo: false } => &["W"],
        Holds::Meter => &["kWh"],
        _ => match unit_of(holds) {
            Some(Degrees::Celsius) => scale_words(Scale::Celsius),
            Some(Degrees::Fahrenheit) => scale_words(Scale::Fahrenheit),
            Some(Degrees::Kelvin) => scale_words(Scale::Kelvin),
            _ => &["mV"],
        },
    }
}

const fn scale_words(scale: Scale) -> &'static [&'static str] {
    match scale {
        Scale::Celsius => &["°C", "C", "degC", "deg C"],
        Scale::Fahrenheit => &["°F", "F", "degF", "deg F"],
        Scale::Kelvin => &["K"],
    }
}
