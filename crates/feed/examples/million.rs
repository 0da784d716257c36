//! Reads a million rows that are made up as they are read, and says how long it took.
//! `cargo run --release -p glost-feed --example million`

use std::io::{BufReader, Read};
use std::time::Instant;

use glost_feed::{Layout, Readings, Rows};
use jiff::Timestamp;
use jiff::tz::TimeZone;

const ROWS: i64 = 1_000_000;

struct Logger {
    row: i64,
    rest: Vec<u8>,
}

impl Read for Logger {
    fn read(&mut self, into: &mut [u8]) -> std::io::Result<usize> {
        if self.rest.is_empty() && self.row < ROWS {
            let at = Timestamp::from_second(1_795_000_000 + self.row).unwrap_or_default();
            let c = 20.0 + (self.row % 1200) as f64;
            self.rest = format!("{at},{c:.1},{c:.1},0.50,1204.5\n").into_bytes();
            self.row += 1;
        }
        let n = self.rest.len().min(into.len());
        let (now, later) = self.rest.split_at(n);
        into[..n].copy_from_slice(now);
        self.rest = later.to_vec();
        Ok(n)
    }
}

fn main() {
    let titles = b"time,pv c,sp c,duty,kwh\n";
    let rows = b"2026-11-25T08:00:00Z,20.0,20.0,0.5,1204.5\n".repeat(2);
    let guess = Layout::guess(&[&titles[..], &rows].concat(), &TimeZone::UTC, |_, _, _| {
        None
    });
    let Ok(rows) = Rows::new(
        guess.layout,
        &TimeZone::UTC,
        None,
        "million.csv",
        |_, _, _| None,
    ) else {
        return;
    };
    let logger = Logger {
        row: 0,
        rest: titles.to_vec(),
    };
    let begun = Instant::now();
    let read = Readings::new(BufReader::new(logger), rows)
        .filter(Result::is_ok)
        .count();
    println!("{read} rows in {:.2} s", begun.elapsed().as_secs_f64());
}
