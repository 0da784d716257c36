//! Rows of a table turned into samples by a [`Layout`]: the one way for files, tails and messages.
//!
//! Power is summed up to what a meter would show, by the mean of two neighbouring readings. Over more than
//! five minutes without a reading nobody knows what was drawn: the sum then starts again from nothing, and so it falls
//! as a meter does that was changed. Energy is only what it rises by.

mod number;
mod plan;
mod record;
mod sum;
mod time;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde::{Deserialize, Serialize};

use glost_model::fault::Fault;
use glost_model::readings::Sample;

use crate::cell::{Wrong, short};
use crate::layout::{Layout, Reference, Time};
pub(crate) use number::{decimal, within};
pub(crate) use plan::{put, unit_of};
pub(crate) use record::{Record, Splitter};
pub(crate) use sum::Sum;
pub(crate) use time::{Stamp, clock, stamp};

/// Reads rows one after another.
#[derive(Debug)]
pub struct Rows {
    layout: Layout,
    /// Of times that name none.
    zone: TimeZone,
    reference: Reference,
    /// Name of the source in faults.
    file: String,
    splitter: Splitter,
    course: Course,
}

/// What later rows need of earlier ones.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Course {
    /// When elapsed time began.
    pub(crate) zero: Option<Timestamp>,
    pub(crate) latest: Option<Timestamp>,
    pub(crate) sum: Sum,
    /// The titles of the file are not those of the layout.
    halted: bool,
}

/// A fault of a row: its field, then what and what to do.
pub(crate) type Misread = (String, Wrong);

impl Rows {
    /// Prepares to read `file` by a layout. `home` is the studio's time zone; `zero` is when a log of elapsed time began.
    ///
    /// # Errors
    /// Every fault of the layout.
    pub fn new(
        layout: Layout,
        home: &TimeZone,
        zero: Option<Timestamp>,
        file: &str,
        reference: Reference,
    ) -> Result<Self, Vec<Fault>> {
        let zone = plan::check(&layout, home, zero.is_some(), file)?;
        let splitter = Splitter::new(layout.separator.byte());
        let course = Course {
            zero,
            ..Course::default()
        };
        Ok(Self {
            layout,
            zone,
            reference,
            file: file.to_owned(),
            splitter,
            course,
        })
    }

    /// The same for a file that begins anew.
    pub(crate) fn begin_again(&mut self) {
        self.course.halted = false;
    }

    /// Goes on where an earlier run stopped.
    pub(crate) fn resume(&mut self, course: Course) {
        let zero = self.course.zero.or(course.zero);
        self.course = Course { zero, ..course };
    }

    pub(crate) const fn course(&self) -> &Course {
        &self.course
    }

    /// Reads one line of a file, its number counted from 1. Nothing for lines without readings.
    ///
    /// # Errors
    /// What is wrong with the row. After titles that differ from the layout's no row is read any more.
    pub fn line(&mut self, number: u64, bytes: &[u8]) -> Option<Result<Sample, Fault>> {
        if self.course.halted {
            return None;
        }
        let found = self.read(number, bytes, None)?;
        Some(found.map_err(|(field, wrong)| self.fault(Some(number), &field, wrong)))
    }

    /// Reads one line of a file for show.
    pub(crate) fn message_line(
        &mut self,
        number: u64,
        bytes: &[u8],
    ) -> Option<Result<Sample, Fault>> {
        if self.course.halted {
            return None;
        }
        let found = self.read(number, bytes, self.course.zero)?;
        Some(found.map_err(|(field, wrong)| self.fault(Some(number), &field, wrong)))
    }

    /// Reads one line that came as a message.
    pub(crate) fn message(
        &mut self,
        bytes: &[u8],
        arrival: Timestamp,
    ) -> Option<Result<Sample, Fault>> {
        let number = u64::from(self.layout.skip).saturating_add(1);
        let found = self.read(number, bytes, Some(arrival))?;
        Some(found.map_err(|(field, wrong)| self.fault(None, &field, wrong)))
    }

    /// Reads cells that were taken out of something else than a line.
    pub(crate) fn cells(&mut self, record: &Record, arrival: Timestamp) -> Result<Sample, Fault> {
        let found = self.row(record, Some(arrival));
        found.map_err(|(field, wrong)| self.fault(None, &field, wrong))
    }

    pub(crate) fn fault(&self, line: Option<u64>, field: &str, (what, remedy): Wrong) -> Fault {
        Fault {
            file: self.file.clone(),
            line: line.map(|n| usize::try_from(n).unwrap_or(usize::MAX)),
            field: short(field),
            what,
            remedy,
        }
    }

    fn read(
        &mut self,
        number: u64,
        bytes: &[u8],
        arrival: Option<Timestamp>,
    ) -> Option<Result<Sample, Misread>> {
        let skip = u64::from(self.layout.skip);
        if number < skip || (number == skip && self.layout.titles.is_empty()) {
            return None;
        }
        if let Err(wrong) = self.splitter.split(bytes) {
            return Some(Err((String::new(), wrong)));
        }
        // Out and back again, so that its room is used for every line.
        let record = std::mem::take(&mut self.splitter.record);
        let found = if number == skip {
            self.titles(&record).map(Err)
        } else if record.is_blank() || self.is_titles(&record) {
            None
        } else {
            Some(self.row(&record, arrival))
        };
        self.splitter.record = record;
        found
    }

    fn is_titles(&self, record: &Record) -> bool {
        let titles = &self.layout.titles;
        !titles.is_empty() && record.same_as(titles)
    }

    /// Whether the line of titles is that of the layout.
    fn titles(&mut self, record: &Record) -> Option<Misread> {
        if self.is_titles(record) {
            return None;
        }
        self.course.halted = true;
        let found = record.iter().collect::<Vec<_>>().join(" | ");
        let known = self.layout.titles.join(" | ");
        let what = format!(
            "the columns are '{}', the layout was made for '{}'",
            short(&found),
            short(&known)
        );
        let remedy = "Look at the layout of this kiln's log again, so that no column is taken for another; no line of this file was read";
        Some((String::new(), (what, remedy.to_owned())))
    }

    fn row(&mut self, record: &Record, arrival: Option<Timestamp>) -> Result<Sample, Misread> {
        let width = self.layout.width;
        if width > 0 && record.filled() > width {
            let what = format!("the line has {} cells, the layout {width}", record.filled());
            let remedy =
                "See whether decimals are written with the character that separates the cells";
            return Err((String::new(), (what, remedy.to_owned())));
        }
        let at = self.time(record, arrival)?;
        let mut sample = Sample {
            at,
            sensor: None,
            set_point: None,
            duty: None,
            meter: None,
            others: Vec::new(),
        };
        // A row that is refused leaves no trace in what later rows build on.
        let mut sum = self.course.sum;
        for column in &self.layout.columns {
            let named = |wrong| (self.layout.title(column.at), wrong);
            let Some(text) = self.layout.cell(record, column.at).map_err(named)? else {
                continue;
            };
            plan::read(
                &self.layout,
                record,
                text,
                &column.holds,
                self.reference,
                &mut sample,
                &mut sum,
            )
            .map_err(named)?;
        }
        self.course.sum = sum;
        self.course.latest = Some(at);
        Ok(sample)
    }

    fn time(&self, record: &Record, arrival: Option<Timestamp>) -> Result<Timestamp, Misread> {
        let cell = |at: usize| {
            let named = |wrong| (self.layout.title(at), wrong);
            match self.layout.cell(record, at) {
                Ok(Some(text)) => Ok(text),
                Ok(None) => Err(named(time::missing())),
                Err(wrong) => Err(named(wrong)),
            }
        };
        let named = |at: usize| move |wrong| (self.layout.title(at), wrong);
        let latest = self.course.latest;
        match &self.layout.time {
            Time::Arrival => arrival.ok_or_else(|| (String::new(), time::missing())),
            Time::Stamp { at, order, .. } => stamp(cell(*at)?, *order)
                .and_then(|s| s.on(&self.zone, latest))
                .map_err(named(*at)),
            Time::DateAndTime {
                date, time, order, ..
            } => Stamp::joined(cell(*date)?, cell(*time)?, *order)
                .and_then(|s| s.on(&self.zone, latest))
                .map_err(named(*time)),
            Time::Unix { at, thousandths } => {
                time::unix(cell(*at)?, *thousandths, self.layout.decimal_comma).map_err(named(*at))
            }
            Time::Elapsed { at, unit } => {
                let span = time::elapsed(cell(*at)?, *unit, self.layout.decimal_comma)
                    .map_err(named(*at))?;
                let zero = self.course.zero;
                zero.and_then(|z| z.checked_add(span).ok())
                    .ok_or_else(|| named(*at)(time::missing()))
            }
        }
    }
}
