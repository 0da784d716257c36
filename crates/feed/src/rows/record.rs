//! Cells of one line.

use csv_core::{ReadRecordResult, Reader, ReaderBuilder};

use crate::cell::Wrong;

/// Most cells of a line.
const MOST_CELLS: usize = 1000;

/// Cells one after another.
#[derive(Debug, Default, Clone)]
pub(crate) struct Record {
    bytes: Vec<u8>,
    ends: Vec<usize>,
}

impl Record {
    pub(crate) fn push(&mut self, cell: &str) {
        self.bytes.extend_from_slice(cell.as_bytes());
        self.ends.push(self.bytes.len());
    }

    /// A cell without the blanks around it. What is not UTF-8 is no number and no time either.
    pub(crate) fn get(&self, at: usize) -> Option<&str> {
        let end = *self.ends.get(at)?;
        let from = at.checked_sub(1).and_then(|b| self.ends.get(b));
        let cell = self.bytes.get(from.copied().unwrap_or(0)..end)?;
        Some(std::str::from_utf8(cell).unwrap_or("\u{fffd}").trim())
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = &str> {
        (0..self.ends.len()).filter_map(|i| self.get(i))
    }

    /// Number of cells up to the last with something in it.
    pub(crate) fn filled(&self) -> usize {
        let empty = |at: &usize| self.get(*at).is_none_or(str::is_empty);
        let mut n = self.ends.len();
        while n > 0 && empty(&(n - 1)) {
            n -= 1;
        }
        n
    }

    pub(crate) fn is_blank(&self) -> bool {
        self.filled() == 0
    }

    pub(crate) fn same_as(&self, titles: &[String]) -> bool {
        self.filled() == titles.len() && self.iter().zip(titles).all(|(a, b)| a == b)
    }
}

/// Cuts lines into cells, keeping its tables and its room from one line to the next.
#[derive(Debug)]
pub(crate) struct Splitter {
    reader: Box<Reader>,
    /// The cells of the line that was cut last.
    pub(crate) record: Record,
}

impl Splitter {
    pub(crate) fn new(separator: u8) -> Self {
        let reader = ReaderBuilder::new().delimiter(separator).build();
        Self {
            reader: Box::new(reader),
            record: Record::default(),
        }
    }

    /// Cuts one line, given without its end, into [`Self::record`].
    pub(crate) fn split(&mut self, line: &[u8]) -> Result<(), Wrong> {
        if line.contains(&0) {
            let what = "the line holds zero bytes".to_owned();
            let remedy = "Let the logger write UTF-8 instead of UTF-16; where it does, the line was damaged: take it out";
            return Err((what, remedy.to_owned()));
        }
        let record = &mut self.record;
        // Unquoting never makes a line longer, and a line has no more cells than bytes.
        record.bytes.resize(line.len() + 1, 0);
        record.ends.resize((line.len() + 2).min(MOST_CELLS), 0);
        self.reader.reset();
        let first = self
            .reader
            .read_record(line, &mut record.bytes, &mut record.ends);
        let (state, read, mut written, mut cells) = first;
        if matches!(state, ReadRecordResult::InputEmpty) {
            let (bytes, ends) = (
                record.bytes.get_mut(written..),
                record.ends.get_mut(cells..),
            );
            let (Some(bytes), Some(ends)) = (bytes, ends) else {
                return Err(too_many());
            };
            let (state, _, more, ended) = self.reader.read_record(b"\n", bytes, ends);
            written += more;
            cells += ended;
            match state {
                ReadRecordResult::Record => {}
                ReadRecordResult::InputEmpty if line.contains(&b'"') => {
                    let what = "a quote is opened and not closed".to_owned();
                    let remedy = "Close it on the same line, or take it out";
                    return Err((what, remedy.to_owned()));
                }
                // An empty line.
                ReadRecordResult::InputEmpty => cells = 0,
                _ => return Err(too_many()),
            }
        } else if matches!(state, ReadRecordResult::Record) && read < line.len() {
            let what = "the line holds carriage returns".to_owned();
            let remedy =
                "Let lines end with a line feed, with or without a carriage return before it";
            return Err((what, remedy.to_owned()));
        } else if !matches!(state, ReadRecordResult::Record) {
            return Err(too_many());
        }
        record.bytes.truncate(written);
        record.ends.truncate(cells);
        Ok(())
    }
}

fn too_many() -> Wrong {
    (
        format!("the line has more than {MOST_CELLS} cells"),
        "See whether the separator of the layout is the file's".to_owned(),
    )
}
