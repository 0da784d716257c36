//! Everything that changes the studio's book goes through a turn.

use jiff::Timestamp;
use sqlx::{Any, Row, Transaction};

use crate::record::{instant, parse, text};
use crate::{Dialect, Kept, Keys, Record, Store, StoreError};

/// Who does it, and when.
#[derive(Debug, Clone, Copy)]
pub struct By<'a> {
    /// Id of the person, or a word for a machine.
    pub who: &'a str,
    /// When.
    pub at: Timestamp,
}

/// Changes that are made in one go: all of them or none. Dropped without [`Turn::commit`], it changes nothing.
#[derive(Debug)]
pub struct Turn {
    pub(crate) tx: Transaction<'static, Any>,
    pub(crate) id: i64,
    pub(crate) at: Timestamp,
    seq: i64,
    stock_moved: bool,
}

/// Kinds that make up what a load is planned with, ware aside.
const STOCK: [&str; 9] = [
    "settings", "clay", "glaze", "kiln", "shelf", "post", "support", "lessons", "source",
];
/// Bytes of a record that a search looks at; PostgreSQL takes some 2,700 of a row into an index.
const MOST_WORDS: usize = 1_000;
/// Whoever writes to PostgreSQL holds the lock of this number; any number serves.
const TURNS: i64 = 0x676c_6f73_7400;
/// Counts their changes.
const STOCK_STATE: &str = "stock-state";

/// A row as it was before a change.
pub(crate) struct Before {
    pub version: i64,
    pub archived: Option<i64>,
    pub body: String,
}

impl Store {
    /// Begins to change something. `verb` says what, in words, as the log shows it.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn turn(&self, by: By<'_>, verb: &str) -> Result<Turn, StoreError> {
        let mut tx = match self.dialect {
            Dialect::Sqlite => self.writer.begin_with("BEGIN IMMEDIATE").await?,
            Dialect::Postgres => {
                let mut tx = self.writer.begin().await?;
                // One turn at a time there too, so that turns are seen in the order of their numbers: what was worked
                // out from the book as of a turn needs no look at earlier ones.
                sqlx::query("SELECT pg_advisory_xact_lock($1) IS NULL")
                    .bind(TURNS)
                    .execute(&mut *tx)
                    .await?;
                tx
            }
        };
        let id = sqlx::query("INSERT INTO turn (at, who, verb) VALUES ($1, $2, $3) RETURNING id")
            .bind(by.at.as_microsecond())
            .bind(by.who)
            .bind(verb)
            .fetch_one(&mut *tx)
            .await?
            .try_get(0)?;
        Ok(Turn {
            tx,
            id,
            at: by.at,
            seq: 0,
            stock_moved: false,
        })
    }
}

impl Store {
    /// Goes up whenever kilns, furniture, clays, glazes or settings change, so that what was worked out from them can
    /// be kept until then.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn stock_state(&self) -> Result<i64, StoreError> {
        let row = sqlx::query("SELECT value FROM counter WHERE name = $1")
            .bind(STOCK_STATE)
            .fetch_optional(&self.pool)
            .await?;
        row.map_or(Ok(0), |r| Ok(r.try_get(0)?))
    }
}

impl Turn {
    /// Its number, for undoing it.
    pub fn id(&self) -> i64 {
        self.id
    }

    /// When it was begun.
    pub fn at(&self) -> Timestamp {
        self.at
    }

    /// Makes all of it last.
    ///
    /// # Errors
    /// [`StoreError::Sql`]; nothing is stored then.
    pub async fn commit(self) -> Result<i64, StoreError> {
        self.tx.commit().await?;
        Ok(self.id)
    }

    /// Reads a record as this turn sees it, and keeps others from changing it until the turn is over.
    ///
    /// # Errors
    /// [`StoreError::Missing`].
    pub async fn get<T: Record>(&mut self, id: &str) -> Result<Kept<T>, StoreError> {
        // Writing nothing locks the row, in both databases.
        let row = sqlx::query(
            "UPDATE record SET version = version WHERE kind = $1 AND id = $2 RETURNING version, archived, changed, body",
        )
        .bind(T::KIND)
        .bind(id)
        .fetch_optional(&mut *self.tx)
        .await?
        .ok_or_else(|| missing::<T>(id))?;
        let body: String = row.try_get("body")?;
        Ok(Kept {
            version: row.try_get("version")?,
            archived: row.try_get::<Option<i64>, _>("archived")?.map(instant),
            changed: instant(row.try_get("changed")?),
            body: parse(id, &body)?,
        })
    }

    /// Reads a record that was seen at `version`, and keeps others from changing it until the turn is over.
    ///
    /// # Errors
    /// [`StoreError::Stale`] when somebody else changed it since, [`StoreError::Missing`].
    pub async fn seen<T: Record>(&mut self, id: &str, version: i64) -> Result<T, StoreError> {
        let before = self.before::<T>(id, version).await?;
        parse(id, &before.body)
    }

    /// Keeps a new record.
    ///
    /// # Errors
    /// [`StoreError::Taken`] when its kind has the id already, archived ones among them.
    pub async fn add<T: Record>(&mut self, thing: &T) -> Result<(), StoreError> {
        let body = text(thing)?;
        let Keys {
            owner,
            state,
            link,
            sort,
            words,
        } = thing.keys();
        let done = sqlx::query(
            "INSERT INTO record (kind, id, version, archived, owner, state, link, sort, words, body, changed)
             VALUES ($1, $2, 1, NULL, $3, $4, $5, $6, $7, $8, $9) ON CONFLICT (kind, id) DO NOTHING",
        )
        .bind(T::KIND)
        .bind(thing.id())
        .bind(owner)
        .bind(state)
        .bind(link)
        .bind(sort)
        .bind(findable(&words))
        .bind(&body)
        .bind(self.at.as_microsecond())
        .execute(&mut *self.tx)
        .await?;
        if done.rows_affected() == 0 {
            return Err(StoreError::Taken {
                kind: T::KIND.to_owned(),
                id: thing.id().to_owned(),
            });
        }
        self.note(T::KIND, thing.id(), 1, None, &body, None).await
    }

    /// Replaces a record that was seen at `version`; answers its new version.
    ///
    /// # Errors
    /// [`StoreError::Stale`] when somebody else changed it since, [`StoreError::Missing`].
    pub async fn put<T: Record>(&mut self, thing: &T, version: i64) -> Result<i64, StoreError> {
        let before = self.before::<T>(thing.id(), version).await?;
        let body = text(thing)?;
        self.write(thing, &body, before.archived).await?;
        self.note(
            T::KIND,
            thing.id(),
            version + 1,
            Some(&before),
            &body,
            before.archived,
        )
        .await?;
        Ok(version + 1)
    }

    /// Puts a record away, or with `false` brings it back. It stays in the book either way.
    ///
    /// # Errors
    /// As [`Self::put`].
    pub async fn archive<T: Record>(
        &mut self,
        id: &str,
        version: i64,
        away: bool,
    ) -> Result<i64, StoreError> {
        let before = self.before::<T>(id, version).await?;
        let archived = away.then_some(self.at.as_microsecond());
        let thing: T = parse(id, &before.body)?;
        self.write(&thing, &before.body, archived).await?;
        let body = before.body.clone();
        self.note(T::KIND, id, version + 1, Some(&before), &body, archived)
            .await?;
        Ok(version + 1)
    }

    /// The next number of a row of numbers, as of firings.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn next_number(&mut self, name: &str) -> Result<i64, StoreError> {
        let row = sqlx::query(
            "INSERT INTO counter (name, value) VALUES ($1, 1)
             ON CONFLICT (name) DO UPDATE SET value = counter.value + 1 RETURNING value",
        )
        .bind(name)
        .fetch_one(&mut *self.tx)
        .await?;
        Ok(row.try_get(0)?)
    }

    async fn before<T: Record>(&mut self, id: &str, version: i64) -> Result<Before, StoreError> {
        let row = sqlx::query(
            "UPDATE record SET version = version WHERE kind = $1 AND id = $2 RETURNING version, archived, body",
        )
        .bind(T::KIND)
        .bind(id)
        .fetch_optional(&mut *self.tx)
        .await?
        .ok_or_else(|| missing::<T>(id))?;
        let before = Before {
            version: row.try_get("version")?,
            archived: row.try_get("archived")?,
            body: row.try_get("body")?,
        };
        if before.version == version {
            return Ok(before);
        }
        let last = sqlx::query(
            "SELECT COALESCE((SELECT p.sort FROM record p WHERE p.kind = 'person' AND p.id = t.who), t.who) AS who, t.at AS at FROM change c JOIN turn t ON t.id = c.turn
             WHERE c.kind = $1 AND c.id = $2 ORDER BY c.version DESC LIMIT 1",
        )
        .bind(T::KIND)
        .bind(id)
        .fetch_optional(&mut *self.tx)
        .await?;
        let (who, at) = match &last {
            Some(row) => (row.try_get("who")?, Some(instant(row.try_get("at")?))),
            None => ("somebody".to_owned(), None),
        };
        Err(StoreError::Stale {
            kind: T::KIND.to_owned(),
            id: id.to_owned(),
            yours: version,
            now: before.version,
            who,
            at,
        })
    }

    pub(crate) async fn write<T: Record>(
        &mut self,
        thing: &T,
        body: &str,
        archived: Option<i64>,
    ) -> Result<(), StoreError> {
        let Keys {
            owner,
            state,
            link,
            sort,
            words,
        } = thing.keys();
        sqlx::query(
            "UPDATE record SET version = version + 1, archived = $3, owner = $4, state = $5, link = $6, sort = $7,
             words = $8, body = $9, changed = $10 WHERE kind = $1 AND id = $2",
        )
        .bind(T::KIND)
        .bind(thing.id())
        .bind(archived)
        .bind(owner)
        .bind(state)
        .bind(link)
        .bind(sort)
        .bind(findable(&words))
        .bind(body)
        .bind(self.at.as_microsecond())
        .execute(&mut *self.tx)
        .await?;
        Ok(())
    }

    pub(crate) async fn note(
        &mut self,
        kind: &str,
        id: &str,
        version: i64,
        before: Option<&Before>,
        after: &str,
        after_archived: Option<i64>,
    ) -> Result<(), StoreError> {
        self.seq += 1;
        if STOCK.contains(&kind) && !self.stock_moved {
            self.stock_moved = true;
            self.next_number(STOCK_STATE).await?;
        }
        sqlx::query(
            "INSERT INTO change (turn, seq, kind, id, version, before, before_archived, after, after_archived)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)",
        )
        .bind(self.id)
        .bind(self.seq)
        .bind(kind)
        .bind(id)
        .bind(version)
        .bind(before.map(|b| b.body.clone()))
        .bind(before.and_then(|b| b.archived))
        .bind(after)
        .bind(after_archived)
        .execute(&mut *self.tx)
        .await?;
        Ok(())
    }
}

/// What a search looks at. Databases limit what an index holds of a row, so very long texts are cut.
pub(crate) fn findable(words: &str) -> String {
    let mut words = words.to_lowercase();
    let mut end = words.len().min(MOST_WORDS);
    while !words.is_char_boundary(end) {
        end -= 1;
    }
    words.truncate(end);
    words
}

fn missing<T: Record>(id: &str) -> StoreError {
    StoreError::Missing {
        kind: T::KIND.to_owned(),
        id: id.to_owned(),
    }
}
