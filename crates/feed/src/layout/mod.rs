//! How a table of readings is written: its separator, its time, what each column holds.

mod guess;
mod signs;

use serde::{Deserialize, Serialize};

use glost_model::Temperature;

pub use guess::{Doubt, Guess};

/// How to read a CSV file, or lines of one. Kept for each kiln. Columns count from 0.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Layout {
    /// What stands between two cells.
    pub separator: Separator,
    /// Decimals are written with a comma, `18,4`.
    #[serde(default)]
    pub decimal_comma: bool,
    /// Lines before the first row, the line of titles among them.
    #[serde(default)]
    pub skip: u32,
    /// Cells of the last skipped line. A file whose titles differ is not read: its columns may have moved.
    #[serde(default)]
    pub titles: Vec<String>,
    /// Most cells of a row; 0: not checked. A row with more was cut in the wrong places.
    #[serde(default)]
    pub width: usize,
    /// How a row tells its time.
    pub time: Time,
    /// Columns that are read; others are passed over.
    pub columns: Vec<Column>,
    /// Words that stand for no reading, besides the empty cell. Capitals do not matter.
    #[serde(default = "no_reading")]
    pub absent: Vec<String>,
}

/// What loggers write where they have no reading. Values from memory, no source.
pub fn no_reading() -> Vec<String> {
    ["-", "--", "---", "----", "nan", "n/a", "na", "null", "none"]
        .map(str::to_owned)
        .into()
}

/// What stands between two cells.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Separator {
    /// `,`
    Comma,
    /// `;`
    Semicolon,
    /// A tab.
    Tab,
    /// `|`
    Bar,
}

impl Separator {
    /// Every one; a comma comes last, since it may be that of decimals.
    pub const ALL: [Self; 4] = [Self::Semicolon, Self::Tab, Self::Bar, Self::Comma];

    /// As a file has it.
    pub const fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
            Self::Bar => b'|',
        }
    }
}

/// How a row tells its time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "by", rename_all = "snake_case")]
pub enum Time {
    /// It does not: a row is from when it came.
    Arrival,
    /// Date and time of day in one column.
    Stamp {
        /// The column.
        at: usize,
        /// How its date is written.
        order: DateOrder,
        /// IANA name, or offset as `+01:00`, of times that name none themselves; `None`: the studio's.
        zone: Option<String>,
    },
    /// Date and time of day in two columns.
    DateAndTime {
        /// Column of the date.
        date: usize,
        /// Column of the time of day.
        time: usize,
        /// How the date is written.
        order: DateOrder,
        /// As for [`Time::Stamp`].
        zone: Option<String>,
    },
    /// Seconds since 1970 in UTC.
    Unix {
        /// The column.
        at: usize,
        /// Thousandths of seconds.
        thousandths: bool,
    },
    /// Time since the log began.
    Elapsed {
        /// The column.
        at: usize,
        /// What it counts.
        unit: Tick,
    },
}

/// How a date is written. A year of four digits in the first place is always read as the year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DateOrder {
    /// 2026-11-25
    YearFirst,
    /// 25.11.2026
    DayFirst,
    /// 11/25/2026
    MonthFirst,
}

/// What elapsed time counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Tick {
    /// Seconds.
    Seconds,
    /// Minutes.
    Minutes,
    /// Hours.
    Hours,
    /// `h:mm` or `h:mm:ss`.
    Clock,
}

/// A column that is read.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Column {
    /// Which, from 0.
    pub at: usize,
    /// What it holds.
    pub holds: Holds,
}

/// What a number of a source is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "is", rename_all = "snake_case")]
pub enum Holds {
    /// The controller's sensor.
    Sensor {
        /// Its unit.
        unit: Degrees,
    },
    /// What the controller wants the sensor to show.
    SetPoint {
        /// Its unit.
        unit: Degrees,
    },
    /// A further sensor.
    Other {
        /// The studio's name for it.
        name: String,
        /// Its unit.
        unit: Degrees,
    },
    /// Share of full power.
    Duty {
        /// From 0 to 100, not from 0 to 1.
        percent: bool,
    },
    /// Power drawn. It is summed up to what a meter would show, see [`crate::rows`].
    Power {
        /// In kW, not W.
        kilo: bool,
    },
    /// What the energy meter shows, kWh.
    Meter,
}

/// Unit of a temperature.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Degrees {
    /// °C
    Celsius,
    /// °F
    Fahrenheit,
    /// K
    Kelvin,
    /// The bare voltage of a thermocouple, mV.
    Millivolts {
        /// Its kind.
        couple: Couple,
        /// How warm its terminals are.
        cold: Cold,
    },
}

/// A unit of temperature itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Scale {
    /// °C
    Celsius,
    /// °F
    Fahrenheit,
    /// K
    Kelvin,
}

impl Scale {
    /// A number on this scale.
    pub const fn of(self, value: f64) -> Temperature {
        match self {
            Self::Celsius => Temperature::c(value),
            Self::Fahrenheit => Temperature::f(value),
            Self::Kelvin => Temperature::k(value),
        }
    }
}

/// How warm the terminals of a thermocouple are.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cold {
    /// Always as warm as this, °C in the settings.
    Fixed(Temperature),
    /// As another column tells.
    Column {
        /// Which, from 0.
        at: usize,
        /// Its unit.
        scale: Scale,
    },
}

/// Kinds of thermocouple by their letters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[expect(missing_docs, reason = "the letters of ITS-90 say it all")]
pub enum Couple {
    K,
    N,
    S,
    R,
    B,
}

/// Turns a voltage in mV at terminals of this temperature into the temperature of the hot end; nothing outside the
/// couple's range. The reference functions live in another crate, so they are given from above.
pub type Reference = fn(f64, Couple, Temperature) -> Option<Temperature>;
