//! Turns found by who, what and when; what each changed; which can be taken back.

use std::collections::{BTreeMap, BTreeSet};

use jiff::Timestamp;
use sqlx::{AssertSqlSafe, Row};

use crate::find::literal;
use crate::history::{CHANGE, TURN, change_row, turn_row};
use crate::{ChangeRow, Store, StoreError, TurnRow};

/// Which turns. Left at its default it finds all.
#[derive(Debug, Clone, Copy, Default)]
pub struct TurnLook<'a> {
    /// Of this person.
    pub who: Option<&'a str>,
    /// With all of these words in what was done, or in kind, id or keys of what was changed.
    pub words: Option<&'a str>,
    /// At this moment or later.
    pub from: Option<Timestamp>,
    /// Before this moment.
    pub until: Option<Timestamp>,
    /// With a lower number: the page after the one that ended there.
    pub before: Option<i64>,
    /// At most so many.
    pub most: u32,
}

/// Words of a search that count.
const MOST_WORDS: usize = 8;

/// Numbers of turns for an `IN`: nothing but digits can come of them.
fn listed(turns: &[i64]) -> String {
    let all: Vec<String> = turns.iter().map(ToString::to_string).collect();
    all.join(", ")
}

impl Store {
    /// Turns, the latest first.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn find_turns(&self, look: &TurnLook<'_>) -> Result<Vec<TurnRow>, StoreError> {
        let mut sql = format!("SELECT {TURN} FROM turn t WHERE 1 = 1");
        let mut given: Vec<String> = Vec::new();
        if let Some(who) = look.who {
            given.push(who.to_owned());
            sql.push_str(&format!(" AND t.who = ${}", given.len()));
        }
        let words = look.words.unwrap_or("").split_whitespace();
        for word in words.take(MOST_WORDS) {
            given.push(format!("%{}%", literal(&word.to_lowercase())));
            let n = given.len();
            sql.push_str(&format!(
                " AND (lower(t.verb) LIKE ${n} ESCAPE '\\' OR EXISTS (SELECT 1 FROM change c WHERE c.turn = t.id
                   AND (lower(c.id) LIKE ${n} ESCAPE '\\' OR c.kind LIKE ${n} ESCAPE '\\' OR EXISTS (SELECT 1 FROM record r
                     WHERE r.kind = c.kind AND r.id = c.id AND r.words LIKE ${n} ESCAPE '\\'))))"
            ));
        }
        // Moments go in as values: a statement for each moment would push all others out of what the database keeps ready.
        let bounds = [
            ("t.at >=", look.from.map(Timestamp::as_microsecond)),
            ("t.at <", look.until.map(Timestamp::as_microsecond)),
            ("t.id <", look.before),
        ];
        let bounds = bounds.into_iter().filter_map(|(what, n)| Some((what, n?)));
        let mut numbers = Vec::new();
        for (what, number) in bounds {
            numbers.push(number);
            sql.push_str(&format!(" AND {what} ${}", given.len() + numbers.len()));
        }
        sql.push_str(&format!(" ORDER BY t.id DESC LIMIT {}", look.most.max(1)));
        let mut query = sqlx::query(AssertSqlSafe(sql));
        for value in given {
            query = query.bind(value);
        }
        for number in numbers {
            query = query.bind(number);
        }
        let rows = query.fetch_all(&self.pool).await?;
        rows.iter().map(turn_row).collect()
    }

    /// What turns changed, each in its order: of each turn those from `skip` on, at most so many.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn changes(
        &self,
        turns: &[i64],
        skip: u32,
        most: u32,
    ) -> Result<Vec<ChangeRow>, StoreError> {
        if turns.is_empty() {
            return Ok(Vec::new());
        }
        // Changes of a turn are numbered from one, without gaps.
        let (after, last) = (i64::from(skip), i64::from(skip) + i64::from(most));
        let sql = format!(
            "SELECT {TURN}, {CHANGE} FROM change c JOIN turn t ON t.id = c.turn WHERE c.turn IN ({})
             AND c.seq > {after} AND c.seq <= {last} ORDER BY c.turn DESC, c.seq",
            listed(turns)
        );
        let rows = sqlx::query(AssertSqlSafe(sql))
            .fetch_all(&self.pool)
            .await?;
        rows.iter().map(change_row).collect()
    }

    /// How many things each of these turns changed; those that changed nothing are left out.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn count_changes(&self, turns: &[i64]) -> Result<BTreeMap<i64, u64>, StoreError> {
        if turns.is_empty() {
            return Ok(BTreeMap::new());
        }
        let sql = format!(
            "SELECT turn, MAX(seq) FROM change WHERE turn IN ({}) GROUP BY turn",
            listed(turns)
        );
        let rows = sqlx::query(AssertSqlSafe(sql))
            .fetch_all(&self.pool)
            .await?;
        rows.iter()
            .map(|r| Ok((r.try_get(0)?, r.try_get::<i64, _>(1)?.unsigned_abs())))
            .collect()
    }

    /// Which of these turns could be taken back now: they changed something, and nothing of it was changed since.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn undoable(&self, turns: &[i64]) -> Result<BTreeSet<i64>, StoreError> {
        if turns.is_empty() {
            return Ok(BTreeSet::new());
        }
        let sql = format!(
            "SELECT t.id AS id FROM turn t WHERE t.id IN ({}) AND t.undone_by IS NULL
             AND EXISTS (SELECT 1 FROM change c WHERE c.turn = t.id)
             AND NOT EXISTS (SELECT 1 FROM change c JOIN record r ON r.kind = c.kind AND r.id = c.id
               WHERE c.turn = t.id AND r.version <> c.version AND r.body <> c.after
                 AND NOT EXISTS (SELECT 1 FROM change d WHERE d.turn = c.turn AND d.kind = c.kind AND d.id = c.id AND d.seq > c.seq))",
            listed(turns)
        );
        let rows = sqlx::query(AssertSqlSafe(sql))
            .fetch_all(&self.pool)
            .await?;
        rows.iter().map(|r| Ok(r.try_get("id")?)).collect()
    }
}
