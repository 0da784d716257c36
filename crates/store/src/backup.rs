//! A backup is a text of one JSON array a line, the same from either database, taken while people work.

use std::io::{BufRead, Write};

use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use crate::door::hex;
use crate::tables::{TABLES, Table};
use crate::{Store, StoreError};

const FORMAT: &str = "glost-backup";
const VERSION: u64 = 1;

/// What was brought back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Restored {
    /// Rows of all tables.
    pub rows: u64,
}

/// What a whole and undamaged backup holds.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Checked {
    /// Rows of all tables.
    pub rows: u64,
    /// Photos: names of their files without ending.
    pub photos: Vec<String>,
}

impl Store {
    /// Writes everything as it is at one moment; people may go on working. Answers how many rows there are.
    ///
    /// # Errors
    /// Of the database, or [`StoreError::Backup`] when the text cannot be written.
    pub async fn backup(&self, out: &mut (dyn Write + Send)) -> Result<u64, StoreError> {
        let mut tx = self.snapshot().await?;
        let mut sum = Sha256::new();
        let mut rows = 0;
        write_line(out, &mut sum, &json!([FORMAT, VERSION]))?;
        for table in TABLES {
            let mut skip = 0;
            loop {
                let page = table.page(self.dialect, &mut tx, skip).await?;
                if page.is_empty() {
                    break;
                }
                skip += page.len() as i64;
                rows += page.len() as u64;
                for mut cells in page {
                    cells.insert(0, Value::from(table.name));
                    write_line(out, &mut sum, &Value::Array(cells))?;
                }
            }
        }
        writeln!(out, "{}", json!(["end", rows, hex(&sum.finalize())])).map_err(not_written)?;
        out.flush().map_err(not_written)?;
        tx.rollback().await?;
        Ok(rows)
    }

    /// Brings a backup back into a store that holds nothing yet: all of it, or nothing.
    ///
    /// # Errors
    /// [`StoreError::Backup`] with the line when it is cut off, was changed, or the store is not empty.
    pub async fn restore(&self, text: &mut (dyn BufRead + Send)) -> Result<Restored, StoreError> {
        let mut tx = self.fill().await?;
        let mut lines = Lines::new(text);
        while let Some((table, cells)) = lines.next()? {
            let at = lines.number;
            table
                .insert(&mut tx, cells)
                .await
                .map_err(|e| e.at(at, table.name))?;
        }
        self.filled(tx).await?;
        Ok(Restored { rows: lines.rows })
    }
}

/// Reads a backup through without a store: whether it is whole and as it was written.
///
/// # Errors
/// [`StoreError::Backup`] with the line.
pub fn check_backup(text: &mut dyn BufRead) -> Result<Checked, StoreError> {
    let mut lines = Lines::new(text);
    let mut photos = Vec::new();
    while let Some((table, cells)) = lines.next()? {
        if let ("photo", Some(Value::String(id))) = (table.name, cells.first()) {
            photos.push(id.clone());
        }
    }
    Ok(Checked {
        rows: lines.rows,
        photos,
    })
}

/// The rows of a backup as they come.
struct Lines<'a, R: BufRead + ?Sized> {
    text: &'a mut R,
    sum: Sha256,
    rows: u64,
    number: usize,
}

impl<'a, R: BufRead + ?Sized> Lines<'a, R> {
    fn new(text: &'a mut R) -> Self {
        Self {
            text,
            sum: Sha256::new(),
            rows: 0,
            number: 0,
        }
    }

    fn wrong(&self, what: impl Into<String>) -> StoreError {
        StoreError::Backup {
            line: self.number,
            what: what.into(),
        }
    }

    /// The next row; nothing once the end was read and is right.
    fn next(&mut self) -> Result<Option<(&'static Table, Vec<Value>)>, StoreError> {
        loop {
            let Some(line) = self.line()? else {
                return Err(self.wrong("it ends early; the end is missing"));
            };
            let value: Vec<Value> = serde_json::from_str(&line)
                .map_err(|e| self.wrong(format!("is not a line of a backup: {e}")))?;
            let mut cells = value.into_iter();
            let Some(Value::String(head)) = cells.next() else {
                return Err(self.wrong("does not begin with the name of a table"));
            };
            let cells: Vec<Value> = cells.collect();
            if self.number == 1 {
                if head != FORMAT || cells != [Value::from(VERSION)] {
                    return Err(self.wrong("is not a backup that this Glost reads"));
                }
                self.sum.update(line.as_bytes());
                continue;
            }
            if head == "end" {
                let digest = hex(&self.sum.finalize_reset());
                if cells != [Value::from(self.rows), Value::from(digest)] {
                    return Err(self.wrong("what was read is not what was written"));
                }
                return match self.line()? {
                    None => Ok(None),
                    Some(_) => Err(self.wrong("something follows after the end")),
                };
            }
            self.sum.update(line.as_bytes());
            let Some(table) = TABLES.iter().find(|t| t.name == head) else {
                return Err(self.wrong(format!("there is no table '{head}'")));
            };
            if cells.len() != table.columns.len() {
                return Err(self.wrong("has another number of columns"));
            }
            self.rows += 1;
            return Ok(Some((table, cells)));
        }
    }

    fn line(&mut self) -> Result<Option<String>, StoreError> {
        let mut line = String::new();
        self.number += 1;
        let read = self
            .text
            .read_line(&mut line)
            .map_err(|e| self.wrong(format!("cannot be read: {e}")))?;
        Ok((read > 0).then_some(line))
    }
}

fn write_line(
    out: &mut (dyn Write + Send),
    sum: &mut Sha256,
    line: &Value,
) -> Result<(), StoreError> {
    let text = format!("{line}\n");
    sum.update(text.as_bytes());
    out.write_all(text.as_bytes()).map_err(not_written)
}

pub(crate) fn not_written(e: std::io::Error) -> StoreError {
    StoreError::Backup {
        line: 0,
        what: format!("cannot be written: {e}"),
    }
}
