//! Cells of a line.

use glost_model::Temperature;
use glost_model::fault::Fault;

/// What is wrong, and what to do.
pub(crate) type Wrong = (String, String);

/// Lowest temperature of a log, °C: below it a sensor is broken or in the wrong unit.
const LEAST_C: f64 = -50.0;
/// Highest temperature of a log, °C.
const MOST_C: f64 = 1800.0;
/// Most characters of a found value that a fault repeats.
const SHOWN: usize = 60;

/// The faults of one file so far.
pub(crate) struct Faults<'t> {
    file: &'t str,
    found: Vec<Fault>,
}

impl<'t> Faults<'t> {
    pub(crate) const fn of(file: &'t str) -> Self {
        Self {
            file,
            found: Vec::new(),
        }
    }

    pub(crate) fn note(&mut self, line: Option<usize>, field: &str, (what, remedy): Wrong) {
        self.found.push(Fault {
            file: self.file.to_owned(),
            line,
            field: short(field),
            what,
            remedy,
        });
    }

    pub(crate) const fn is_empty(&self) -> bool {
        self.found.is_empty()
    }

    /// By line; what concerns the whole file first.
    pub(crate) fn into_sorted(mut self) -> Vec<Fault> {
        self.found.sort_by_key(|f| f.line);
        self.found
    }
}

/// A found value, cut to what fits a sentence, without characters that spoil a terminal.
pub(crate) fn short(found: &str) -> String {
    let mut chars = found.chars().map(|c| if c.is_control() { ' ' } else { c });
    let mut head: String = chars.by_ref().take(SHOWN).collect();
    if chars.next().is_some() {
        head.push('…');
    }
    head
}

/// The cells of a line. No cell of a log holds a comma, so that quotes only stand around cells.
pub(crate) fn cells(line: &str) -> impl Iterator<Item = &str> {
    line.split(',').map(|cell| {
        let cell = cell.trim();
        let inner = cell.strip_prefix('"').and_then(|c| c.strip_suffix('"'));
        inner.unwrap_or(cell).trim()
    })
}

pub(crate) fn number(text: &str) -> Result<f64, Wrong> {
    let found = text.parse::<f64>().ok().filter(|n| n.is_finite());
    found.ok_or_else(|| {
        (
            format!("'{}' is not a number", short(text)),
            "Write a number without a unit, with a point for decimals, or leave the cell empty where there is no reading"
                .to_owned(),
        )
    })
}

/// The unit of a column of readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Scale {
    Celsius,
    Fahrenheit,
}

impl Scale {
    /// Reads a temperature that a sensor in a kiln can have.
    pub(crate) fn read(self, text: &str) -> Result<Temperature, Wrong> {
        let n = number(text)?;
        let (least, most) = (Temperature::c(LEAST_C), Temperature::c(MOST_C));
        let (found, span) = match self {
            Self::Celsius => (Temperature::c(n), format!("{LEAST_C} to {MOST_C} °C")),
            Self::Fahrenheit => (
                Temperature::f(n),
                format!("{:.0} to {:.0} °F", least.to_f(), most.to_f()),
            ),
        };
        // Kelvin inside round the ends of the range.
        if (LEAST_C - 1e-9..=MOST_C + 1e-9).contains(&found.to_c()) {
            return Ok(found);
        }
        Err((
            format!("{} is no temperature of a kiln", short(text)),
            format!(
                "Readings are from {span}: empty the cell if the sensor was broken, and see that the column's name ends in its unit, _c or _f"
            ),
        ))
    }
}
