//! A backup is a text of one JSON array a line, the same from either database, taken while people work.

use std::io::{BufRead, Write};

use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use sqlx::any::AnyRow;
use sqlx::{AssertSqlSafe, Row};

use crate::{Dialect, Store, StoreError};

/// A column and whether it holds a number.
type Column = (&'static str, bool);

/// Every table that is kept, with its columns and the order of its rows.
pub const TABLES: &[(&str, &[Column], &str)] = &[
    (
        "record",
        &[
            ("kind", false),
            ("id", false),
            ("version", true),
            ("archived", true),
            ("owner", false),
            ("state", false),
            ("link", false),
            ("sort", false),
            ("words", false),
            ("body", false),
            ("changed", true),
        ],
        "kind, id",
    ),
    (
        "turn",
        &[
            ("id", true),
            ("at", true),
            ("who", false),
            ("verb", false),
            ("undoes", true),
            ("undone_by", true),
        ],
        "id",
    ),
    (
        "change",
        &[
            ("turn", true),
            ("seq", true),
            ("kind", false),
            ("id", false),
            ("version", true),
            ("before", false),
            ("before_archived", true),
            ("after", false),
            ("after_archived", true),
        ],
        "turn, seq",
    ),
    (
        "paper",
        &[
            ("kind", false),
            ("id", false),
            ("body", false),
            ("changed", true),
        ],
        "kind, id",
    ),
    ("counter", &[("name", false), ("value", true)], "name"),
    (
        "login",
        &[("person", false), ("name", false), ("secret", false)],
        "person",
    ),
    (
        "pass",
        &[
            ("digest", false),
            ("use", false),
            ("person", false),
            ("label", false),
            ("grants", false),
            ("made", true),
            ("seen", true),
            ("ends", true),
        ],
        "digest",
    ),
    (
        "photo",
        &[
            ("id", false),
            ("kind", false),
            ("thing", false),
            ("who", false),
            ("width", true),
            ("height", true),
            ("made", true),
            ("removed", true),
        ],
        "id",
    ),
];

const FORMAT: &str = "glost-backup";
const VERSION: u64 = 1;
/// Rows that are read at once.
const PAGE: i64 = 500;

/// What was brought back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Restored {
    /// Rows of all tables.
    pub rows: u64,
}

impl Store {
    /// Writes everything as it is at one moment; people may go on working. Answers how many rows there are.
    ///
    /// # Errors
    /// Of the database, or [`StoreError::Backup`] when the text cannot be written.
    pub async fn backup(&self, out: &mut (dyn Write + Send)) -> Result<u64, StoreError> {
        let begin = match self.dialect {
            Dialect::Sqlite => "BEGIN",
            Dialect::Postgres => "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY",
        };
        let mut tx = self.pool.begin_with(begin).await?;
        let mut sum = Sha256::new();
        let mut rows = 0;
        write_line(out, &mut sum, &json!([FORMAT, VERSION]))?;
        for (table, columns, order) in TABLES {
            let names: Vec<&str> = columns.iter().map(|c| c.0).collect();
            let mut skip = 0;
            loop {
                let sql = format!(
                    "SELECT {} FROM {table} ORDER BY {order} LIMIT {PAGE} OFFSET {skip}",
                    names.join(", ")
                );
                let page = sqlx::query(AssertSqlSafe(sql)).fetch_all(&mut *tx).await?;
                for row in &page {
                    let mut line = vec![Value::from(*table)];
                    for (name, number) in *columns {
                        line.push(cell(row, name, *number)?);
                    }
                    write_line(out, &mut sum, &Value::Array(line))?;
                    rows += 1;
                }
                skip += PAGE;
                if (page.len() as i64) < PAGE {
                    break;
                }
            }
        }
        let digest: String = sum.finalize().iter().map(|b| format!("{b:02x}")).collect();
        writeln!(out, "{}", json!(["end", rows, digest])).map_err(not_written)?;
        out.flush().map_err(not_written)?;
        tx.rollback().await?;
        Ok(rows)
    }

    /// Brings a backup back into a store that holds nothing yet: all of it, or nothing.
    ///
    /// # Errors
    /// [`StoreError::Backup`] with the line when it is cut off, was changed, or the store is not empty.
    pub async fn restore(&self, text: &mut (dyn BufRead + Send)) -> Result<Restored, StoreError> {
        let at = |line: usize, what: &str| StoreError::Backup {
            line,
            what: what.to_owned(),
        };
        let mut tx = match self.dialect {
            Dialect::Sqlite => self.writer.begin_with("BEGIN IMMEDIATE").await?,
            Dialect::Postgres => self.writer.begin().await?,
        };
        let used = sqlx::query("SELECT 1 FROM record UNION ALL SELECT 1 FROM turn UNION ALL SELECT 1 FROM login LIMIT 1")
            .fetch_optional(&mut *tx)
            .await?;
        if used.is_some() {
            return Err(at(
                1,
                "the store to restore into is not empty; name a new one",
            ));
        }
        let mut sum = Sha256::new();
        let mut rows = 0;
        let mut line = String::new();
        let mut number = 0;
        loop {
            line.clear();
            number += 1;
            let read = text
                .read_line(&mut line)
                .map_err(|e| at(number, &format!("cannot be read: {e}")))?;
            if read == 0 {
                return Err(at(number, "it ends early; the end is missing"));
            }
            let value: Vec<Value> = serde_json::from_str(&line)
                .map_err(|e| at(number, &format!("is not a line of a backup: {e}")))?;
            let Some((Value::String(head), cells)) = value.split_first() else {
                return Err(at(number, "does not begin with the name of a table"));
            };
            if number == 1 {
                if head != FORMAT || cells != [Value::from(VERSION)] {
                    return Err(at(1, "is not a backup that this Glost reads"));
                }
                sum.update(line.as_bytes());
                continue;
            }
            if head == "end" {
                let digest: String = sum.finalize().iter().map(|b| format!("{b:02x}")).collect();
                if cells != [Value::from(rows), Value::from(digest)] {
                    return Err(at(number, "what was read is not what was written"));
                }
                break;
            }
            sum.update(line.as_bytes());
            let Some((table, columns, _)) = TABLES.iter().find(|t| t.0 == head) else {
                return Err(at(number, &format!("there is no table '{head}'")));
            };
            if cells.len() != columns.len() {
                return Err(at(number, "has another number of columns"));
            }
            let names: Vec<&str> = columns.iter().map(|c| c.0).collect();
            let places: Vec<String> = (1..=cells.len()).map(|n| format!("${n}")).collect();
            let sql = format!(
                "INSERT INTO {table} ({}) VALUES ({})",
                names.join(", "),
                places.join(", ")
            );
            let mut query = sqlx::query(AssertSqlSafe(sql));
            for (cell, (name, is_number)) in cells.iter().zip(*columns) {
                query = match (cell, is_number) {
                    (Value::Null, true) => query.bind(None::<i64>),
                    (Value::Null, false) => query.bind(None::<String>),
                    (Value::Number(n), true) => query.bind(n.as_i64()),
                    (Value::String(s), false) => query.bind(s.clone()),
                    _ => return Err(at(number, &format!("{name} is of the wrong type"))),
                };
            }
            query.execute(&mut *tx).await?;
            rows += 1;
        }
        if self.dialect == Dialect::Postgres {
            // Turns go on counting where the old store stopped.
            sqlx::query(
                "SELECT setval(pg_get_serial_sequence('turn', 'id'), GREATEST((SELECT COALESCE(MAX(id), 0) FROM turn), 1))",
            )
            .execute(&mut *tx)
            .await?;
        }
        tx.commit().await?;
        Ok(Restored { rows })
    }
}

fn cell(row: &AnyRow, name: &str, number: bool) -> Result<Value, StoreError> {
    Ok(if number {
        row.try_get::<Option<i64>, _>(name)?
            .map_or(Value::Null, Value::from)
    } else {
        row.try_get::<Option<String>, _>(name)?
            .map_or(Value::Null, Value::from)
    })
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

fn not_written(e: std::io::Error) -> StoreError {
    StoreError::Backup {
        line: 0,
        what: format!("cannot be written: {e}"),
    }
}
