//! The rows of a file that grows.

use glost_model::fault::Fault;
use glost_model::readings::Sample;

use super::place::{Glance, Place, Print};
use crate::joiner::{KEPT, LineJoiner};
use crate::readings::{too_long, wide};
use crate::rows::Rows;

/// What following a file tells.
#[derive(Debug, Clone, PartialEq)]
pub enum Told {
    /// A row.
    Row(Sample),
    /// A row that could not be read, left out whole.
    Misread(Fault),
    /// There is no file.
    NoFile,
    /// A new file goes on where the old one ended.
    Rotated,
    /// The file was cut short or written anew: it is read from its beginning.
    BegunAnew,
    /// The file that was read before is gone, with what was written into it since.
    Lost,
    /// The file cannot be read; in words of the system.
    Barred(String),
}

/// Follows one file after another. Takes bytes, touches no disk.
#[derive(Debug)]
pub struct Follower {
    rows: Rows,
    joiner: LineJoiner,
    head: Vec<u8>,
    number: u64,
    /// The file cannot be read any further.
    stopped: bool,
}

impl Follower {
    /// At the beginning of a file.
    pub fn new(rows: Rows) -> Self {
        Self {
            rows,
            joiner: LineJoiner::default(),
            head: Vec::new(),
            number: 0,
            stopped: false,
        }
    }

    /// Where a restart goes on.
    pub fn place(&self) -> Place {
        let committed = usize::try_from(self.joiner.offset()).unwrap_or(usize::MAX);
        let head = self.head.get(..committed).unwrap_or(&self.head);
        Place {
            offset: self.joiner.offset(),
            lines: self.joiner.lines(),
            number: self.number,
            head: Print::of(head),
            before: Print::of(self.joiner.before()),
            course: self.rows.course().clone(),
        }
    }

    /// Goes on in a file that is known to be that of the place.
    pub(crate) fn resume(&mut self, place: Place, seen: &Glance) {
        self.joiner = LineJoiner::resume(place.offset, place.lines, &seen.before);
        // What stands behind the offset is still to be taken.
        self.head.clone_from(&seen.head);
        self.head
            .truncate(usize::try_from(place.offset).unwrap_or(usize::MAX));
        self.number = seen.number;
        self.rows.resume(place.course);
    }

    /// Begins with a file of this number on its disk.
    pub fn begin(&mut self, number: u64) {
        self.joiner = LineJoiner::default();
        self.head.clear();
        self.number = number;
        self.stopped = false;
        self.rows.begin_again();
    }

    /// Keeps what rows build on from an earlier file.
    pub(crate) fn recall(&mut self, place: Place) {
        self.rows.resume(place.course);
    }

    pub(crate) const fn number(&self) -> u64 {
        self.number
    }

    /// Takes the next bytes of the file; half a line waits for its end.
    pub fn take(&mut self, bytes: &[u8], told: &mut Vec<Told>) {
        let room = KEPT.saturating_sub(self.head.len()).min(bytes.len());
        self.head
            .extend_from_slice(bytes.get(..room).unwrap_or_default());
        if self.stopped {
            return;
        }
        if let Some(wrong) = wide(&self.head) {
            self.stopped = true;
            told.push(Told::Misread(self.rows.fault(None, "", wrong)));
            return;
        }
        self.joiner.push(bytes);
        while let Some(line) = self.joiner.next_line() {
            let found = match line.bytes {
                None => Some(Err(self.rows.fault(Some(line.number), "", too_long()))),
                Some(bytes) => self.rows.line(line.number, bytes),
            };
            told.extend(found.map(|f| match f {
                Ok(sample) => Told::Row(sample),
                Err(fault) => Told::Misread(fault),
            }));
        }
    }

    /// The file gets no more. Half a line at its end is not read: its last number may be cut.
    pub fn end(&mut self, told: &mut Vec<Told>) {
        if self.stopped || !self.joiner.is_half() {
            return;
        }
        let line = self.joiner.lines().saturating_add(1);
        let wrong = (
            "the last line has no end, so that it may be cut short".to_owned(),
            "Its reading is left out; add it by hand if it is needed".to_owned(),
        );
        told.push(Told::Misread(self.rows.fault(Some(line), "", wrong)));
    }
}
