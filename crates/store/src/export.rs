//! An export is one JSON file with every record, its versions and history, and the long texts: for other programs, and
//! to go on elsewhere. Who may sign in is not in it. Bodies stand in it letter by letter, so that an export of what was
//! imported is the same file.

use std::collections::BTreeMap;
use std::io::Write;

use jiff::Timestamp;
use serde_json::Value;
use serde_json::value::RawValue;

use crate::backup::not_written;
use crate::kinds::keys_of;
use crate::record::instant;
use crate::tables::{Cell, TABLES, Table};
use crate::{Restored, Store, StoreError};

const FORMAT: &str = "glost-export";
const VERSION: u64 = 1;

/// Tables that are exported, by the names that they have in the file.
const EXPORTED: [(&str, &str); 6] = [
    ("records", "record"),
    ("turns", "turn"),
    ("changes", "change"),
    ("papers", "paper"),
    ("counters", "counter"),
    ("photos", "photo"),
];
/// Made from the body of a record whenever it is written.
const DERIVED: [&str; 5] = ["owner", "state", "link", "sort", "words"];

impl Store {
    /// Writes every record, its history and the long texts as one JSON file, as they are at one moment. Answers how
    /// many rows there are.
    ///
    /// # Errors
    /// Of the database, or [`StoreError::Backup`] when the text cannot be written.
    pub async fn export(&self, out: &mut (dyn Write + Send)) -> Result<u64, StoreError> {
        let mut tx = self.snapshot().await?;
        let mut rows = 0;
        let mut put = |text: &str| out.write_all(text.as_bytes()).map_err(not_written);
        put(&format!(
            "{{\n\"format\": \"{FORMAT}\",\n\"version\": {VERSION}"
        ))?;
        for (name, table) in tables() {
            put(&format!(",\n\"{name}\": ["))?;
            let mut skip = 0;
            loop {
                let page = table.page(self.dialect, &mut tx, skip).await?;
                if page.is_empty() {
                    break;
                }
                for cells in &page {
                    put(if skip == 0 { "\n" } else { ",\n" })?;
                    put(&row(table, cells))?;
                    skip += 1;
                    rows += 1;
                }
            }
            put("\n]")?;
        }
        put("\n}\n")?;
        out.flush().map_err(not_written)?;
        tx.rollback().await?;
        Ok(rows)
    }

    /// Brings an export into a store that holds nothing yet: all of it, or nothing. Nobody can sign in then until
    /// somebody is let in.
    ///
    /// # Errors
    /// [`StoreError::Backup`] when it is no export, or the store is not empty; [`StoreError::Body`] for a record that
    /// this Glost cannot read.
    pub async fn import(&self, text: &str) -> Result<Restored, StoreError> {
        let file: BTreeMap<String, &RawValue> = serde_json::from_str(text)
            .map_err(|e| wrong(e.line(), format!("this is no export: {e}")))?;
        let is = |name: &str, value: &str| file.get(name).is_some_and(|v| v.get() == value);
        if !is("format", &format!("\"{FORMAT}\"")) || !is("version", &VERSION.to_string()) {
            return Err(wrong(1, "this is not an export that this Glost reads"));
        }
        let mut tx = self.fill().await?;
        let mut rows = 0;
        for (name, table) in tables() {
            let all = file
                .get(name)
                .ok_or_else(|| wrong(1, format!("'{name}' is missing")))?;
            let all: Vec<BTreeMap<String, &RawValue>> = serde_json::from_str(all.get())
                .map_err(|e| wrong(1, format!("'{name}' is no list of things: {e}")))?;
            for (i, given) in all.iter().enumerate() {
                let cells =
                    cells(table, given).map_err(|what| wrong(1, format!("{name}[{i}]: {what}")))?;
                let cells = with_keys(table, cells)?;
                table
                    .insert(&mut tx, cells)
                    .await
                    .map_err(|e| e.at(1, table.name))?;
                rows += 1;
            }
        }
        self.filled(tx).await?;
        Ok(Restored { rows })
    }
}

fn tables() -> impl Iterator<Item = (&'static str, &'static Table)> {
    EXPORTED
        .iter()
        .filter_map(|(name, table)| Some((*name, TABLES.iter().find(|t| t.name == *table)?)))
}

fn exported(table: &Table, column: &str) -> bool {
    table.name != "record" || !DERIVED.contains(&column)
}

/// A row as an object.
fn row(table: &Table, cells: &[Value]) -> String {
    let mut out = String::from("{");
    for ((name, cell), value) in table.columns.iter().zip(cells) {
        if !exported(table, name) {
            continue;
        }
        if out.len() > 1 {
            out.push(',');
        }
        out.push_str(&format!("\"{name}\":"));
        out.push_str(&match (cell, value) {
            (Cell::Json, Value::String(text)) if is_object(text) => text.clone(),
            (Cell::Time, Value::Number(us)) => {
                format!("\"{}\"", instant(us.as_i64().unwrap_or(0)))
            }
            (_, value) => value.to_string(),
        });
    }
    out.push('}');
    out
}

/// Whether a text can stand in the file as it is; another text stands there as a string.
fn is_object(text: &str) -> bool {
    text.starts_with('{') && text.ends_with('}') && serde_json::from_str::<&RawValue>(text).is_ok()
}

/// The cells of a row from an object, keys of records aside.
fn cells(table: &Table, given: &BTreeMap<String, &RawValue>) -> Result<Vec<Value>, String> {
    let value = |(name, cell): &(&str, Cell)| {
        if !exported(table, name) {
            return Ok(Value::Null);
        }
        let raw = given
            .get(*name)
            .ok_or_else(|| format!("'{name}' is missing"))?
            .get();
        if *cell == Cell::Json && raw.starts_with('{') {
            return Ok(Value::from(raw));
        }
        let value: Value = serde_json::from_str(raw).map_err(|e| format!("'{name}': {e}"))?;
        match (cell, &value) {
            (Cell::Time, Value::String(text)) => text
                .parse::<Timestamp>()
                .map(|t| Value::from(t.as_microsecond()))
                .map_err(|_e| format!("'{name}' is no moment: {text}")),
            _ => Ok(value),
        }
    };
    table.columns.iter().map(value).collect()
}

/// Finds the keys of a record anew from its body.
fn with_keys(table: &Table, mut cells: Vec<Value>) -> Result<Vec<Value>, StoreError> {
    if table.name != "record" {
        return Ok(cells);
    }
    let text = |name: &str| {
        let at = table.columns.iter().position(|c| c.0 == name);
        at.and_then(|i| cells.get(i))
            .and_then(Value::as_str)
            .unwrap_or("")
    };
    let keys = keys_of(text("kind"), text("id"), text("body"))?;
    let words = keys.words.to_lowercase();
    for (name, value) in DERIVED
        .iter()
        .zip([keys.owner, keys.state, keys.link, keys.sort, words])
    {
        let at = table.columns.iter().position(|c| c.0 == *name);
        if let Some(cell) = at.and_then(|i| cells.get_mut(i)) {
            *cell = Value::from(value);
        }
    }
    Ok(cells)
}

fn wrong(line: usize, what: impl Into<String>) -> StoreError {
    StoreError::Backup {
        line,
        what: what.into(),
    }
}
