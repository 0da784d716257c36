//! A file read whole, row by row.

use std::io::BufRead;

use glost_model::fault::Fault;
use glost_model::readings::Sample;

use crate::cell::Wrong;
use crate::joiner::{LONGEST_LINE, LineJoiner};
use crate::rows::Rows;

/// Most faults that are told one by one.
pub const MOST_FAULTS: u64 = 100;
/// Bytes taken at a time.
const PIECE: usize = 64 * 1024;

/// The samples of a file in the order of its rows; a row with a fault is told and left out whole. Memory does not grow
/// with the file.
#[derive(Debug)]
pub struct Readings<R> {
    source: R,
    joiner: LineJoiner,
    rows: Rows,
    told: u64,
    further: u64,
    stage: Stage,
}

#[derive(Debug, PartialEq)]
enum Stage {
    Reading,
    Last,
    Done,
}

impl<R: BufRead> Readings<R> {
    /// Reads `source` by `rows`.
    pub fn new(source: R, rows: Rows) -> Self {
        Self {
            source,
            joiner: LineJoiner::default(),
            rows,
            told: 0,
            further: 0,
            stage: Stage::Reading,
        }
    }

    /// Faults beyond the first [`MOST_FAULTS`], which are counted only.
    pub const fn further(&self) -> u64 {
        self.further
    }

    /// Takes the next piece of the file; tells when that fails.
    fn more(&mut self) -> Option<Fault> {
        let read = self.source.fill_buf().map(|piece| {
            let piece = piece.get(..PIECE).unwrap_or(piece);
            self.joiner.push(piece);
            piece.len()
        });
        match read {
            Ok(0) => {
                self.stage = Stage::Last;
                None
            }
            Ok(n) => {
                self.source.consume(n);
                None
            }
            Err(e) if e.kind() == std::io::ErrorKind::Interrupted => None,
            Err(e) => {
                self.stage = Stage::Done;
                let wrong = (
                    format!("the file could not be read further: {e}"),
                    "See that it is there and may be read, then read it again".to_owned(),
                );
                Some(self.rows.fault(None, "", wrong))
            }
        }
    }
}

/// A line that is too long to be one of a log.
pub(crate) fn too_long() -> Wrong {
    (
        format!("the line is longer than {LONGEST_LINE} bytes"),
        "See that the file is a table of readings, with a line for each time".to_owned(),
    )
}

/// What to say of a file that begins like this and cannot be read.
pub(crate) fn wide(begin: &[u8]) -> Option<Wrong> {
    let mark = begin.starts_with(b"\xff\xfe") || begin.starts_with(b"\xfe\xff");
    mark.then(|| {
        (
            "the file is written in UTF-16".to_owned(),
            "Let the logger write UTF-8, or save the file again as 'CSV UTF-8'".to_owned(),
        )
    })
}

impl<R: BufRead> Iterator for Readings<R> {
    type Item = Result<Sample, Fault>;

    fn next(&mut self) -> Option<Self::Item> {
        loop {
            let line = match self.stage {
                Stage::Done => return None,
                Stage::Reading => self.joiner.next_line(),
                Stage::Last => {
                    self.stage = Stage::Done;
                    self.joiner.finish()
                }
            };
            let found = match line {
                None if self.stage == Stage::Done => return None,
                None => {
                    if let Some(fault) = self.more() {
                        return Some(Err(fault));
                    }
                    continue;
                }
                Some(line) => match line.bytes {
                    None => Some(Err(self.rows.fault(Some(line.number), "", too_long()))),
                    Some(bytes) => match wide(bytes).filter(|_| line.number == 1) {
                        Some(wrong) => {
                            self.stage = Stage::Done;
                            return Some(Err(self.rows.fault(None, "", wrong)));
                        }
                        None => self.rows.line(line.number, bytes),
                    },
                },
            };
            match found {
                None => {}
                Some(Err(_)) if self.told == MOST_FAULTS => self.further += 1,
                Some(Err(fault)) => {
                    self.told += 1;
                    return Some(Err(fault));
                }
                Some(Ok(sample)) => return Some(Ok(sample)),
            }
        }
    }
}
