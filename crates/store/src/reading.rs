//! What instruments told while a kiln fired. Rows come by the thousand and never change, so they are no records and no
//! part of the trail: they say themselves when and by what.

use jiff::Timestamp;
use sqlx::{AssertSqlSafe, Row};

use crate::record::instant;
use crate::{Dialect, Store, StoreError};

/// One sample as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReadingRow {
    /// When it was read.
    pub at: Timestamp,
    /// The sample, as JSON.
    pub body: String,
}

/// How much is kept of a firing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReadingSpan {
    /// First.
    pub from: Timestamp,
    /// Last.
    pub to: Timestamp,
    /// Rows.
    pub rows: i64,
}

/// How far a source has been read: kept with the readings in one go, so that after a crash it is read on from there.
#[derive(Debug, Clone, Copy)]
pub struct Mark<'a> {
    /// Which source.
    pub source: &'a str,
    /// Where it stands, in words of its own.
    pub place: &'a str,
}

/// Papers that hold marks.
const MARK: &str = "feed-mark";
/// Rows of one statement; SQLite takes 32,766 values, PostgreSQL 65,535.
const ROWS: usize = 500;

impl Store {
    /// Keeps readings of a firing, and how far their source was read. What is kept already stays. Answers how many are
    /// new, once they are on the disk.
    ///
    /// # Errors
    /// [`StoreError::Sql`]; then nothing of it is kept.
    pub async fn add_readings(
        &self,
        firing: &str,
        rows: &[ReadingRow],
        mark: Option<Mark<'_>>,
        now: Timestamp,
    ) -> Result<u64, StoreError> {
        let mut tx = match self.dialect {
            Dialect::Sqlite => self.writer.begin_with("BEGIN IMMEDIATE").await?,
            Dialect::Postgres => self.writer.begin().await?,
        };
        let mut new = 0;
        for part in rows.chunks(ROWS) {
            let places: Vec<String> = (0..part.len())
                .map(|i| format!("($1, ${}, ${})", 2 * i + 2, 2 * i + 3))
                .collect();
            let sql = format!(
                "INSERT INTO reading (firing, at, body) VALUES {} ON CONFLICT (firing, at) DO NOTHING",
                places.join(", ")
            );
            let mut query = sqlx::query(AssertSqlSafe(sql)).bind(firing);
            for row in part {
                query = query.bind(row.at.as_microsecond()).bind(row.body.as_str());
            }
            new += query.execute(&mut *tx).await?.rows_affected();
        }
        if let Some(mark) = mark {
            sqlx::query(
                "INSERT INTO paper (kind, id, body, changed) VALUES ($1, $2, $3, $4)
                 ON CONFLICT (kind, id) DO UPDATE SET body = excluded.body, changed = excluded.changed",
            )
            .bind(MARK)
            .bind(mark.source)
            .bind(mark.place)
            .bind(now.as_microsecond())
            .execute(&mut *tx)
            .await?;
        }
        tx.commit().await?;
        Ok(new)
    }

    /// How far a source was read.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn mark(&self, source: &str) -> Result<Option<String>, StoreError> {
        self.paper(MARK, source).await
    }

    /// The next readings of a firing in the order of time, at most so many.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn readings(
        &self,
        firing: &str,
        after: Option<Timestamp>,
        most: i64,
    ) -> Result<Vec<ReadingRow>, StoreError> {
        let rows = sqlx::query(
            "SELECT at, body FROM reading WHERE firing = $1 AND at > $2 ORDER BY at LIMIT $3",
        )
        .bind(firing)
        .bind(after.map_or(i64::MIN, Timestamp::as_microsecond))
        .bind(most)
        .fetch_all(&self.pool)
        .await?;
        rows.iter()
            .map(|row| {
                Ok(ReadingRow {
                    at: instant(row.try_get(0)?),
                    body: row.try_get(1)?,
                })
            })
            .collect()
    }

    /// How much is kept of a firing; nothing when there is none.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn reading_span(&self, firing: &str) -> Result<Option<ReadingSpan>, StoreError> {
        let row = sqlx::query("SELECT MIN(at), MAX(at), COUNT(*) FROM reading WHERE firing = $1")
            .bind(firing)
            .fetch_one(&self.pool)
            .await?;
        let (from, to): (Option<i64>, Option<i64>) = (row.try_get(0)?, row.try_get(1)?);
        let rows = row.try_get(2)?;
        Ok(from.zip(to).map(|(from, to)| ReadingSpan {
            from: instant(from),
            to: instant(to),
            rows,
        }))
    }
}
