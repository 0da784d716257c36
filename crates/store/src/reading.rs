//! What instruments told while a kiln fired. Rows come by the thousand and never change, so they are no records and no
//! part of the trail: they say themselves when and by what.

use jiff::Timestamp;
use sqlx::any::AnyRow;
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
        rows.iter().map(row).collect()
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

    /// About so many readings of a firing, spread over its time: the first, the last, and between them each that is the
    /// next after a step. Only these are looked up, however long the log.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn readings_spread(
        &self,
        firing: &str,
        most: u32,
    ) -> Result<Vec<ReadingRow>, StoreError> {
        let most = most.max(2);
        // A short log is given whole.
        let mut some = self.readings(firing, None, i64::from(most)).await?;
        let Some(last) = self.last_reading(firing).await? else {
            return Ok(some);
        };
        let Some(first) = some.first().map(|r| r.at.as_microsecond()) else {
            return Ok(some);
        };
        if some.last().is_some_and(|r| r.at == last.at) {
            return Ok(some);
        }
        // Bodies are looked up one by one: of a join SQLite reads the whole log instead.
        let step = (last.at.as_microsecond() - first) / i64::from(most - 1);
        let rows = sqlx::query(
            "WITH RECURSIVE spread(at) AS (
               SELECT CAST($2 AS BIGINT)
               UNION ALL
               SELECT (SELECT r.at FROM reading r WHERE r.firing = $1 AND r.at >= spread.at + $3 ORDER BY r.at LIMIT 1)
               FROM spread WHERE spread.at IS NOT NULL
             )
             SELECT spread.at, (SELECT r.body FROM reading r WHERE r.firing = $1 AND r.at = spread.at)
             FROM spread WHERE spread.at IS NOT NULL ORDER BY spread.at",
        )
        .bind(firing)
        .bind(first)
        .bind(step.max(1))
        .fetch_all(&self.pool)
        .await?;
        some = rows.iter().map(row).collect::<Result<_, _>>()?;
        if some.last().is_none_or(|r| r.at < last.at) {
            some.push(last);
        }
        Ok(some)
    }

    /// The last reading of a firing.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn last_reading(&self, firing: &str) -> Result<Option<ReadingRow>, StoreError> {
        let found =
            sqlx::query("SELECT at, body FROM reading WHERE firing = $1 ORDER BY at DESC LIMIT 1")
                .bind(firing)
                .fetch_optional(&self.pool)
                .await?;
        found.as_ref().map(row).transpose()
    }
}

fn row(row: &AnyRow) -> Result<ReadingRow, StoreError> {
    Ok(ReadingRow {
        at: instant(row.try_get(0)?),
        body: row.try_get(1)?,
    })
}
