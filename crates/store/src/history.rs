//! Who did what, and undoing it.

use jiff::Timestamp;
use sqlx::Row;
use sqlx::any::AnyRow;

use crate::kinds::keys_of;
use crate::record::instant;
use crate::turn::{Before, findable};
use crate::{By, Store, StoreError, Turn};

/// One turn, as the log of the studio shows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TurnRow {
    /// Number.
    pub id: i64,
    /// When.
    pub at: Timestamp,
    /// Id of the person, or a word for a machine.
    pub who: String,
    /// What was done.
    pub verb: String,
    /// The turn that it takes back.
    pub undoes: Option<i64>,
    /// The turn that took it back.
    pub undone_by: Option<i64>,
}

/// What a turn changed about one thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChangeRow {
    /// The turn.
    pub turn: TurnRow,
    /// Kind of thing.
    pub kind: String,
    /// Which.
    pub id: String,
    /// Version that it made.
    pub version: i64,
    /// Body before; nothing when it was new.
    pub before: Option<String>,
    /// Body after.
    pub after: String,
    /// Whether it was put away before, and is after.
    pub away: (bool, bool),
}

pub(crate) const TURN: &str = "t.id AS turn, t.at AS at, t.who AS who, t.verb AS verb, t.undoes AS undoes, t.undone_by AS undone_by";

pub(crate) const CHANGE: &str = "c.kind AS kind, c.id AS id, c.version AS version, c.before AS before, c.after AS after, c.before_archived AS before_archived, c.after_archived AS after_archived";

pub(crate) fn change_row(row: &AnyRow) -> Result<ChangeRow, StoreError> {
    let away = |name: &str| Ok::<_, StoreError>(row.try_get::<Option<i64>, _>(name)?.is_some());
    Ok(ChangeRow {
        turn: turn_row(row)?,
        kind: row.try_get("kind")?,
        id: row.try_get("id")?,
        version: row.try_get("version")?,
        before: row.try_get("before")?,
        after: row.try_get("after")?,
        away: (away("before_archived")?, away("after_archived")?),
    })
}

pub(crate) fn turn_row(row: &AnyRow) -> Result<TurnRow, StoreError> {
    Ok(TurnRow {
        id: row.try_get("turn")?,
        at: instant(row.try_get("at")?),
        who: row.try_get("who")?,
        verb: row.try_get("verb")?,
        undoes: row.try_get("undoes")?,
        undone_by: row.try_get("undone_by")?,
    })
}

impl Store {
    /// Everything that was ever done to one thing, latest first.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn history(&self, kind: &str, id: &str) -> Result<Vec<ChangeRow>, StoreError> {
        let sql = format!(
            "SELECT {TURN}, {CHANGE} FROM change c JOIN turn t ON t.id = c.turn
             WHERE c.kind = $1 AND c.id = $2 ORDER BY c.version DESC LIMIT 200"
        );
        let rows = sqlx::query(sqlx::AssertSqlSafe(sql))
            .bind(kind)
            .bind(id)
            .fetch_all(&self.pool)
            .await?;
        rows.iter().map(change_row).collect()
    }

    /// The latest turns, of everybody or of one person.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn turns(&self, who: Option<&str>, most: u32) -> Result<Vec<TurnRow>, StoreError> {
        let sql = format!(
            "SELECT {TURN} FROM turn t WHERE ($1 = '' OR t.who = $1) ORDER BY t.id DESC LIMIT {most}"
        );
        let rows = sqlx::query(sqlx::AssertSqlSafe(sql))
            .bind(who.unwrap_or(""))
            .fetch_all(&self.pool)
            .await?;
        rows.iter().map(turn_row).collect()
    }

    /// Number of the latest turn: while it stays, nothing has changed.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn latest_turn(&self) -> Result<i64, StoreError> {
        let row = sqlx::query("SELECT COALESCE(MAX(id), 0) FROM turn")
            .fetch_one(&self.pool)
            .await?;
        Ok(row.try_get(0)?)
    }

    /// One turn.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn turn_row(&self, turn: i64) -> Result<Option<TurnRow>, StoreError> {
        let sql = format!("SELECT {TURN} FROM turn t WHERE t.id = $1");
        let row = sqlx::query(sqlx::AssertSqlSafe(sql))
            .bind(turn)
            .fetch_optional(&self.pool)
            .await?;
        row.as_ref().map(turn_row).transpose()
    }

    /// Takes a turn back, when nothing that it changed was changed since. What it made is put away.
    ///
    /// # Errors
    /// [`StoreError::NotUndone`] with the reason.
    pub async fn undo(&self, turn: i64, by: By<'_>) -> Result<i64, StoreError> {
        let old = self
            .turn_row(turn)
            .await?
            .ok_or_else(|| StoreError::Missing {
                kind: "turn".to_owned(),
                id: turn.to_string(),
            })?;
        let refuse = |why: &str| StoreError::NotUndone {
            verb: old.verb.clone(),
            why: why.to_owned(),
        };
        let mut new = self.turn(by, &format!("undo: {}", old.verb)).await?;
        let claimed =
            sqlx::query("UPDATE turn SET undone_by = $2 WHERE id = $1 AND undone_by IS NULL")
                .bind(turn)
                .bind(new.id)
                .execute(&mut *new.tx)
                .await?;
        if claimed.rows_affected() == 0 {
            return Err(refuse("it has been undone already"));
        }
        sqlx::query("UPDATE turn SET undoes = $2 WHERE id = $1")
            .bind(new.id)
            .bind(turn)
            .execute(&mut *new.tx)
            .await?;
        let changes = sqlx::query(
            "SELECT kind, id, version, before, before_archived, after FROM change WHERE turn = $1 ORDER BY seq DESC",
        )
        .bind(turn)
        .fetch_all(&mut *new.tx)
        .await?;
        if changes.is_empty() {
            return Err(refuse("it changed nothing that is kept by version"));
        }
        for row in &changes {
            if !new.take_back(row).await? {
                let (kind, id): (String, String) = (row.try_get("kind")?, row.try_get("id")?);
                return Err(refuse(&format!("{kind} {id} was changed since")));
            }
        }
        new.commit().await
    }
}

impl Turn {
    /// Puts one thing back as it was; false when it was changed since.
    async fn take_back(&mut self, change: &AnyRow) -> Result<bool, StoreError> {
        let kind: String = change.try_get("kind")?;
        let id: String = change.try_get("id")?;
        let version: i64 = change.try_get("version")?;
        let before: Option<String> = change.try_get("before")?;
        let after: String = change.try_get("after")?;
        // A thing that was new goes away; it is never deleted.
        let archived = match before {
            Some(_) => change.try_get("before_archived")?,
            None => Some(self.at.as_microsecond()),
        };
        let body = before.unwrap_or_else(|| after.clone());
        let now = sqlx::query(
            "UPDATE record SET version = version WHERE kind = $1 AND id = $2 RETURNING version, archived, body",
        )
        .bind(&kind)
        .bind(&id)
        .fetch_optional(&mut *self.tx)
        .await?;
        let Some(now) = now else { return Ok(false) };
        let now = Before {
            version: now.try_get("version")?,
            archived: now.try_get("archived")?,
            body: now.try_get("body")?,
        };
        // Changed twice in the turn itself: the later change has been taken back by a version more.
        let untouched = now.version == version || now.body == after;
        if !untouched {
            return Ok(false);
        }
        let keys = keys_of(&kind, &id, &body)?;
        sqlx::query(
            "UPDATE record SET version = version + 1, archived = $3, owner = $4, state = $5, link = $6, sort = $7,
             words = $8, body = $9, changed = $10 WHERE kind = $1 AND id = $2",
        )
        .bind(&kind)
        .bind(&id)
        .bind(archived)
        .bind(keys.owner)
        .bind(keys.state)
        .bind(keys.link)
        .bind(keys.sort)
        .bind(findable(&keys.words))
        .bind(&body)
        .bind(self.at.as_microsecond())
        .execute(&mut *self.tx)
        .await?;
        self.note(&kind, &id, now.version + 1, Some(&now), &body, archived)
            .await?;
        Ok(true)
    }
}
