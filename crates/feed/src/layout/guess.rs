//! A layout proposed from the first lines of a file.

mod columns;
mod times;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use glost_model::fault::Fault;
use glost_model::readings::Sample;

use super::signs::{self, has_comma, is_time, number};
use super::{Layout, Reference, Separator, no_reading};
use crate::joiner::LineJoiner;
use crate::rows::{Record, Rows, Splitter};

/// Most lines that are looked at.
const MOST_LINES: usize = 60;

/// What was understood of the first lines of a file, for a person to look over.
#[derive(Debug, Clone, PartialEq)]
pub struct Guess {
    /// The proposal.
    pub layout: Layout,
    /// What is not certain.
    pub doubts: Vec<Doubt>,
    /// The first rows as they would be read. Elapsed time is shown from 1970 on, since its beginning is not known here.
    pub rows: Vec<Result<Sample, Fault>>,
}

/// Something that a person has to decide.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Doubt {
    /// The column, from 0; `None`: the whole file.
    pub column: Option<usize>,
    /// What is not certain, and what was taken for now.
    pub words: String,
}

/// The table as cut by a separator.
struct Table {
    /// Titles in the row above the first with values.
    titles: Vec<String>,
    skip: usize,
    rows: Vec<Vec<String>>,
    width: usize,
}

impl Table {
    fn title(&self, at: usize) -> &str {
        self.titles.get(at).map_or("", String::as_str)
    }

    /// The cells of a column with something in them.
    fn column(&self, at: usize) -> impl Iterator<Item = &str> {
        let cells = self.rows.iter().filter_map(move |r| r.get(at));
        cells.map(String::as_str).filter(|c| {
            let word = c.to_lowercase();
            !c.is_empty() && !no_reading().contains(&word)
        })
    }

    fn all(&self, at: usize, fits: impl Fn(&str) -> bool) -> bool {
        let mut cells = self.column(at).peekable();
        cells.peek().is_some() && cells.all(fits)
    }

    fn numbers(&self, at: usize) -> Vec<f64> {
        self.column(at).filter_map(number).map(|n| n.0).collect()
    }
}

#[derive(Default)]
struct Doubts(Vec<Doubt>);

impl Doubts {
    fn note(&mut self, column: Option<usize>, words: impl Into<String>) {
        let words = words.into();
        self.0.push(Doubt { column, words });
    }
}

impl Layout {
    /// Proposes a layout from the first lines of a file. `home` is the studio's time zone.
    pub fn guess(first_lines: &[u8], home: &TimeZone, reference: Reference) -> Guess {
        let lines = lines(first_lines);
        let mut doubts = Doubts::default();
        let (separator, table) = cut(&lines, &mut doubts);
        let (time, taken) = times::guess(&table, &mut doubts);
        let columns = columns::guess(&table, &taken, &mut doubts);
        let decimal_comma =
            separator != Separator::Comma && table.rows.iter().flatten().any(|c| has_comma(c));
        let layout = Self {
            separator,
            decimal_comma,
            skip: u32::try_from(table.skip).unwrap_or(u32::MAX),
            titles: table.titles,
            width: table.width,
            time,
            columns,
            absent: no_reading(),
        };
        let zero = Some(Timestamp::UNIX_EPOCH);
        let rows = match Rows::new(layout.clone(), home, zero, "", reference) {
            Err(faults) => faults.into_iter().map(Err).collect(),
            Ok(mut rows) => (1..)
                .zip(&lines)
                .filter_map(|(n, line)| rows.message_line(n, line))
                .collect(),
        };
        Guess {
            layout,
            doubts: doubts.0,
            rows,
        }
    }
}

/// Whole lines only, unless there is but one.
fn lines(bytes: &[u8]) -> Vec<Vec<u8>> {
    let mut joiner = LineJoiner::default();
    joiner.push(bytes);
    let mut lines = Vec::new();
    while let Some(line) = joiner.next_line() {
        lines.push(line.bytes.unwrap_or_default().to_vec());
        if lines.len() == MOST_LINES {
            return lines;
        }
    }
    if lines.len() < 2 {
        let last = joiner.finish().and_then(|l| l.bytes.map(<[u8]>::to_vec));
        lines.extend(last);
    }
    lines
}

fn cut(lines: &[Vec<u8>], doubts: &mut Doubts) -> (Separator, Table) {
    let of = |separator: Separator| {
        let mut splitter = Splitter::new(separator.byte());
        let cut = |line: &Vec<u8>| {
            if splitter.split(line).is_err() {
                return Vec::new();
            }
            let record: &Record = &splitter.record;
            record
                .iter()
                .take(record.filled())
                .map(str::to_owned)
                .collect()
        };
        lines.iter().map(cut).collect::<Vec<Vec<String>>>()
    };
    // The rows below the titles decide: of them more than half must have the same number of cells, two or more.
    let fits = |rows: &[Vec<String>]| {
        let widest = rows.iter().map(Vec::len).max().unwrap_or(0);
        let alike = rows
            .iter()
            .filter(|r| r.len() + 1 >= widest && r.len() > 1)
            .count();
        alike * 2 > rows.len()
    };
    let found = Separator::ALL
        .into_iter()
        .map(|s| (s, of(s)))
        .find(|(_, rows)| fits(rows));
    let (separator, mut rows) = found.unwrap_or_else(|| {
        doubts.note(
            None,
            "The separator between cells was not found; a comma was taken.",
        );
        (Separator::Comma, of(Separator::Comma))
    });
    let is_row = |row: &Vec<String>| {
        let filled: Vec<&String> = row.iter().filter(|c| !c.is_empty()).collect();
        let values = filled
            .iter()
            .filter(|c| number(c).is_some() || is_time(c))
            .count();
        values > 0 && values * 2 > filled.len()
    };
    let skip = rows.iter().position(is_row).unwrap_or(rows.len());
    let below = rows.split_off(skip);
    let titles = rows.pop().unwrap_or_default();
    if titles.is_empty() {
        doubts.note(
            None,
            "There is no line of titles: what the columns hold is guessed from their values.",
        );
    }
    if below.is_empty() {
        doubts.note(None, "There is no row with a number yet.");
    }
    let width = below
        .iter()
        .map(Vec::len)
        .max()
        .unwrap_or(0)
        .max(titles.len());
    let table = Table {
        titles,
        skip,
        rows: below,
        width,
    };
    (separator, table)
}
