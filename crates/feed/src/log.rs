//! The lines of a log.

use glost_model::fault::Fault;
use glost_model::{Span, Temperature};
use jiff::Timestamp;

use crate::cell::{Faults, cells};
use crate::header::{self, Header, When};

/// What a logger wrote during a firing.
#[derive(Debug, Clone, PartialEq)]
pub struct Log {
    /// Time of the first line; `None` when the log counts elapsed time.
    pub start: Option<Timestamp>,
    /// Sensors in the order of their columns. One that was not connected has no readings.
    pub channels: Vec<Channel>,
}

/// The readings of one sensor.
#[derive(Debug, Clone, PartialEq)]
pub struct Channel {
    /// Name as the column has it, without its unit.
    pub name: String,
    /// In the order of time; two may share a time.
    pub readings: Vec<Reading>,
}

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Since [`Log::start`], or as the log counts it.
    pub at: Span,
    /// What the sensor told.
    pub temperature: Temperature,
}

impl Log {
    /// The sensor of this name.
    pub fn channel(&self, name: &str) -> Option<&Channel> {
        self.channels.iter().find(|c| c.name == name)
    }
}

/// The time of the latest line, and of the first.
#[derive(Default)]
struct Course {
    start: Option<Timestamp>,
    latest: Option<(Span, usize)>,
}

/// Longest log, as for elapsed time.
const MOST_DAYS: f64 = 366.0;

/// Reads the log of a firing, see `docs/handbook/sensor-log.md`. `file` names it in faults.
///
/// # Errors
/// Every fault by line. When the first line cannot be read, the others are not looked at.
pub fn read_log(text: &str, file: &str) -> Result<Log, Vec<Fault>> {
    let mut faults = Faults::of(file);
    // Some editors put a byte order mark first; it is no part of the text.
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut lines = text
        .lines()
        .enumerate()
        .map(|(i, l)| (i + 1, l))
        // Spreadsheets leave lines of nothing but commas below the last row.
        .filter(|(_, l)| cells(l).any(|c| !c.is_empty()));
    let Some((line, first)) = lines.next() else {
        let remedy = "Save the log again, with the names of its columns in the first line";
        faults.note(
            None,
            "",
            ("the file is empty".to_owned(), remedy.to_owned()),
        );
        return Err(faults.into_sorted());
    };
    let Some(header) = header::read(line, first, &mut faults) else {
        return Err(faults.into_sorted());
    };
    let mut channels: Vec<Channel> = header
        .columns
        .iter()
        .map(|c| Channel {
            name: c.name.clone(),
            readings: Vec::new(),
        })
        .collect();
    let (mut course, mut filled) = (Course::default(), false);
    for (line, row) in lines {
        filled |= read_row(line, row, &header, &mut course, &mut channels, &mut faults);
    }
    if !filled && faults.is_empty() {
        let remedy = "Save the log again with a line for each time and a number for each reading";
        faults.note(
            None,
            "",
            ("there are no readings".to_owned(), remedy.to_owned()),
        );
    }
    if faults.is_empty() {
        return Ok(Log {
            start: course.start,
            channels,
        });
    }
    Err(faults.into_sorted())
}

/// Reads one line; true when any cell of readings has something in it.
fn read_row(
    line: usize,
    row: &str,
    header: &Header,
    course: &mut Course,
    channels: &mut [Channel],
    faults: &mut Faults<'_>,
) -> bool {
    let found: Vec<&str> = cells(row).collect();
    let wanted = header.columns.len() + 1;
    if found.len() != wanted {
        let what = format!(
            "the line has {} cells, the first line {wanted}",
            found.len()
        );
        let remedy = "Write decimals with a point, and keep a comma for each empty cell";
        faults.note(Some(line), "", (what, remedy.to_owned()));
        return true;
    }
    let (time, readings) = found.split_first().unwrap_or((&"", &[]));
    let at = course.advance(line, time, header, faults);
    let mut filled = false;
    for ((text, column), channel) in readings.iter().zip(&header.columns).zip(channels) {
        if text.is_empty() {
            continue;
        }
        filled = true;
        match column.scale.read(text) {
            Ok(temperature) => channel
                .readings
                .extend(at.map(|at| Reading { at, temperature })),
            Err(wrong) => faults.note(Some(line), &column.title, wrong),
        }
    }
    filled
}

impl Course {
    /// The time of a line since the first; nothing, with its fault, when it cannot be.
    fn advance(
        &mut self,
        line: usize,
        text: &str,
        header: &Header,
        faults: &mut Faults<'_>,
    ) -> Option<Span> {
        let title = header.clock.title();
        let at = match header.clock.read(text) {
            Ok(When::Elapsed(at)) => at,
            Ok(When::Stamp(stamp)) => {
                let start = *self.start.get_or_insert(stamp);
                Span::s(stamp.duration_since(start).as_secs_f64())
            }
            Err(wrong) => {
                faults.note(Some(line), title, wrong);
                return None;
            }
        };
        if at.to_h() > MOST_DAYS * 24.0 {
            let what = format!("'{text}' is more than {MOST_DAYS} days after the first line");
            let remedy = "Correct the time: a logger that starts without its clock set writes a date long past";
            faults.note(Some(line), title, (what, remedy.to_owned()));
            return None;
        }
        if let Some((latest, before)) = self.latest
            && at < latest
        {
            let what = format!("'{text}' is earlier than line {before}");
            let remedy = "Put the lines in the order of time; where the clock was set back, write the offset from UTC";
            faults.note(Some(line), title, (what, remedy.to_owned()));
            return None;
        }
        self.latest = Some((at, line));
        Some(at)
    }
}
