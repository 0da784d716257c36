//! What is kept, table by table, for backups and exports.

use serde_json::Value;
use sqlx::any::AnyRow;
use sqlx::{Any, AssertSqlSafe, Row, Transaction};

use crate::{Dialect, Store, StoreError};

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cell {
    /// A text.
    Text,
    /// A text that is JSON, or may be.
    Json,
    /// A whole number.
    Number,
    /// Microseconds since 1970.
    Time,
}

impl Cell {
    /// Whether the database has it as a number.
    pub(crate) fn is_number(self) -> bool {
        matches!(self, Self::Number | Self::Time)
    }
}

/// A table.
#[derive(Debug, Clone, Copy)]
pub struct Table {
    /// Name.
    pub name: &'static str,
    /// Its columns.
    pub columns: &'static [(&'static str, Cell)],
    /// Order of its rows: the same from either database.
    pub order: &'static str,
    /// Rows that are read at once: fewer where they are long.
    pub batch: i64,
}

use Cell::{Json, Number, Text, Time};

const FEW: i64 = 500;

/// Every table that is kept.
pub const TABLES: &[Table] = &[
    Table {
        name: "record",
        columns: &[
            ("kind", Text),
            ("id", Text),
            ("version", Number),
            ("archived", Time),
            ("owner", Text),
            ("state", Text),
            ("link", Text),
            ("sort", Text),
            ("words", Text),
            ("body", Json),
            ("changed", Time),
        ],
        order: "kind, id",
        batch: FEW,
    },
    Table {
        name: "turn",
        columns: &[
            ("id", Number),
            ("at", Time),
            ("who", Text),
            ("verb", Text),
            ("undoes", Number),
            ("undone_by", Number),
        ],
        order: "id",
        batch: FEW,
    },
    Table {
        name: "change",
        columns: &[
            ("turn", Number),
            ("seq", Number),
            ("kind", Text),
            ("id", Text),
            ("version", Number),
            ("before", Json),
            ("before_archived", Time),
            ("after", Json),
            ("after_archived", Time),
        ],
        order: "turn, seq",
        batch: FEW,
    },
    Table {
        name: "paper",
        columns: &[
            ("kind", Text),
            ("id", Text),
            ("body", Json),
            ("changed", Time),
        ],
        order: "kind, id",
        batch: FEW,
    },
    Table {
        name: "counter",
        columns: &[("name", Text), ("value", Number)],
        order: "name",
        batch: FEW,
    },
    Table {
        name: "login",
        columns: &[("person", Text), ("name", Text), ("secret", Text)],
        order: "person",
        batch: FEW,
    },
    Table {
        name: "pass",
        columns: &[
            ("digest", Text),
            ("use", Text),
            ("person", Text),
            ("label", Text),
            ("grants", Text),
            ("made", Time),
            ("seen", Time),
            ("ends", Time),
        ],
        order: "digest",
        batch: FEW,
    },
    Table {
        name: "photo",
        columns: &[
            ("id", Text),
            ("kind", Text),
            ("thing", Text),
            ("who", Text),
            ("width", Number),
            ("height", Number),
            ("made", Time),
            ("removed", Time),
        ],
        order: "id",
        batch: FEW,
    },
    Table {
        name: "reading",
        columns: &[("firing", Text), ("at", Time), ("body", Json)],
        order: "firing, at",
        batch: 20_000,
    },
];

impl Table {
    /// Order in which both databases agree, whatever language the server sorts by.
    fn ordered(&self, dialect: Dialect) -> String {
        let number = |name: &str| self.columns.iter().any(|c| c.0 == name && c.1.is_number());
        let by = |name: &str| match dialect {
            Dialect::Postgres if !number(name) => format!("{name} COLLATE \"C\""),
            _ => name.to_owned(),
        };
        self.order
            .split(", ")
            .map(by)
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// The next rows from `skip` on.
    pub(crate) async fn page(
        &self,
        dialect: Dialect,
        tx: &mut Transaction<'static, Any>,
        skip: i64,
    ) -> Result<Vec<Vec<Value>>, StoreError> {
        let names: Vec<&str> = self.columns.iter().map(|c| c.0).collect();
        let sql = format!(
            "SELECT {} FROM {} ORDER BY {} LIMIT {} OFFSET {skip}",
            names.join(", "),
            self.name,
            self.ordered(dialect),
            self.batch
        );
        let rows = sqlx::query(AssertSqlSafe(sql)).fetch_all(&mut **tx).await?;
        rows.iter()
            .map(|row| {
                let cell = |(name, cell): &(&str, Cell)| read(row, name, cell.is_number());
                self.columns.iter().map(cell).collect()
            })
            .collect()
    }

    /// Adds a row that was kept before.
    pub(crate) async fn insert(
        &self,
        tx: &mut Transaction<'static, Any>,
        cells: Vec<Value>,
    ) -> Result<(), Wrong> {
        let names: Vec<&str> = self.columns.iter().map(|c| c.0).collect();
        let places: Vec<String> = (1..=names.len()).map(|n| format!("${n}")).collect();
        let sql = format!(
            "INSERT INTO {} ({}) VALUES ({})",
            self.name,
            names.join(", "),
            places.join(", ")
        );
        let mut query = sqlx::query(AssertSqlSafe(sql));
        for (value, (name, cell)) in cells.into_iter().zip(self.columns) {
            query = match (value, cell.is_number()) {
                (Value::Null, true) => query.bind(None::<i64>),
                (Value::Null, false) => query.bind(None::<String>),
                (Value::Number(n), true) if n.is_i64() => query.bind(n.as_i64()),
                (Value::String(s), false) => query.bind(s),
                _ => return Err(Wrong::Cell(name)),
            };
        }
        query.execute(&mut **tx).await?;
        Ok(())
    }
}

/// Why a row is not kept.
#[derive(Debug)]
pub(crate) enum Wrong {
    /// A cell of the wrong type.
    Cell(&'static str),
    /// The database.
    Sql(sqlx::Error),
}

impl From<sqlx::Error> for Wrong {
    fn from(e: sqlx::Error) -> Self {
        Self::Sql(e)
    }
}

impl Wrong {
    /// As the store tells it: what a file holds is the file's fault, unless the database itself is in trouble.
    pub(crate) fn at(self, line: usize, table: &str) -> StoreError {
        let what = match self {
            Self::Cell(name) => format!("{name} of a {table} is of the wrong type"),
            Self::Sql(sqlx::Error::Database(e)) if e.is_unique_violation() => {
                format!("a {table} is there twice")
            }
            Self::Sql(sqlx::Error::Database(e))
                if e.is_foreign_key_violation() || e.is_check_violation() =>
            {
                format!("a {table} hangs on something that is not there")
            }
            Self::Sql(e) => return StoreError::Sql(e),
        };
        StoreError::Backup { line, what }
    }
}

fn read(row: &AnyRow, name: &str, number: bool) -> Result<Value, StoreError> {
    Ok(if number {
        row.try_get::<Option<i64>, _>(name)?
            .map_or(Value::Null, Value::from)
    } else {
        row.try_get::<Option<String>, _>(name)?
            .map_or(Value::Null, Value::from)
    })
}

impl Store {
    /// Everything as it is at one moment; people may go on working.
    pub(crate) async fn snapshot(&self) -> Result<Transaction<'static, Any>, StoreError> {
        let begin = match self.dialect {
            Dialect::Sqlite => "BEGIN",
            Dialect::Postgres => "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY",
        };
        Ok(self.pool.begin_with(begin).await?)
    }

    /// Begins to bring something into a store that must hold nothing yet.
    pub(crate) async fn fill(&self) -> Result<Transaction<'static, Any>, StoreError> {
        let mut tx = match self.dialect {
            Dialect::Sqlite => self.writer.begin_with("BEGIN IMMEDIATE").await?,
            Dialect::Postgres => self.writer.begin().await?,
        };
        let used =
            sqlx::query("SELECT 1 FROM record UNION ALL SELECT 1 FROM turn UNION ALL SELECT 1 FROM login LIMIT 1")
                .fetch_optional(&mut *tx)
                .await?;
        if used.is_some() {
            return Err(StoreError::Backup {
                line: 1,
                what: "the store to bring it into is not empty; name a new one".to_owned(),
            });
        }
        Ok(tx)
    }

    /// Ends it: all of it is kept. Turns go on counting where the old store stopped.
    pub(crate) async fn filled(&self, mut tx: Transaction<'static, Any>) -> Result<(), StoreError> {
        if self.dialect == Dialect::Postgres {
            sqlx::query(
                "SELECT setval(pg_get_serial_sequence('turn', 'id'), GREATEST((SELECT COALESCE(MAX(id), 0) FROM turn), 1), EXISTS (SELECT 1 FROM turn))",
            )
            .execute(&mut *tx)
            .await?;
        }
        tx.commit().await?;
        Ok(())
    }
}
