//! Read what is kept.

use std::collections::BTreeMap;

use sqlx::{AssertSqlSafe, Row};

use crate::record::{instant, parse};
use crate::{Kept, Record, Store, StoreError};

/// In which order a list comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Order {
    /// By the place in lists.
    #[default]
    First,
    /// The other way round.
    Last,
}

/// What a list is to hold. Left at its default it holds everything that is not put away.
#[derive(Debug, Clone, Default)]
pub struct Look<'a> {
    /// Only what belongs to this person.
    pub owner: Option<&'a str>,
    /// Only what belongs to one of these; empty for all.
    pub owners: &'a [&'a str],
    /// Only what is in one of these states; empty for all.
    pub states: &'a [&'a str],
    /// Only what hangs on this.
    pub link: Option<&'a str>,
    /// Only what has all of these words in it.
    pub words: Option<&'a str>,
    /// What is put away, too.
    pub archived: bool,
    /// Order.
    pub order: Order,
    /// So many are left out at the start.
    pub skip: u32,
    /// At most so many; 0 for all.
    pub most: u32,
}

/// A record of any kind as it is stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Body {
    /// Id.
    pub id: String,
    /// Goes up by one with each change.
    pub version: i64,
    /// When it was put away.
    pub archived: Option<jiff::Timestamp>,
    /// When it changed last.
    pub changed: jiff::Timestamp,
    /// The thing as JSON.
    pub body: String,
}

/// A text as a pattern that means nothing but itself.
pub(crate) fn literal(text: &str) -> String {
    text.chars()
        .flat_map(|c| {
            let escape = matches!(c, '%' | '_' | '\\').then_some('\\');
            escape.into_iter().chain([c])
        })
        .collect()
}

/// A query with what goes into it.
struct Query {
    sql: String,
    given: Vec<String>,
}

impl Query {
    fn new(columns: &str, kind: &str, look: &Look<'_>) -> Self {
        let mut q = Self {
            sql: format!("SELECT {columns} FROM record WHERE kind = $1"),
            given: vec![kind.to_owned()],
        };
        if let Some(owner) = look.owner {
            q.and("owner = ", owner);
        }
        if let Some(link) = look.link {
            q.and("link = ", link);
        }
        q.one_of("owner", look.owners);
        q.one_of("state", look.states);
        for word in look.words.unwrap_or("").split_whitespace().take(8) {
            q.given.push(format!("%{}%", literal(&word.to_lowercase())));
            q.sql
                .push_str(&format!(" AND words LIKE ${} ESCAPE '\\'", q.given.len()));
        }
        if !look.archived {
            q.sql.push_str(" AND archived IS NULL");
        }
        q
    }

    fn one_of(&mut self, column: &str, values: &[&str]) {
        if values.is_empty() {
            return;
        }
        let first = self.given.len() + 1;
        self.given.extend(values.iter().map(|v| (*v).to_owned()));
        let places: Vec<String> = (first..=self.given.len())
            .map(|n| format!("${n}"))
            .collect();
        self.sql
            .push_str(&format!(" AND {column} IN ({})", places.join(", ")));
    }

    fn and(&mut self, test: &str, value: &str) {
        self.given.push(value.to_owned());
        self.sql
            .push_str(&format!(" AND {test}${}", self.given.len()));
    }

    async fn rows(self, store: &Store) -> Result<Vec<sqlx::any::AnyRow>, StoreError> {
        // The text holds only pieces written here; everything from outside is bound.
        let mut query = sqlx::query(AssertSqlSafe(self.sql));
        for value in self.given {
            query = query.bind(value);
        }
        Ok(query.fetch_all(&store.pool).await?)
    }
}

impl Store {
    /// The record of that id, put away or not.
    ///
    /// # Errors
    /// [`StoreError::Body`], [`StoreError::Sql`].
    pub async fn find<T: Record>(&self, id: &str) -> Result<Option<Kept<T>>, StoreError> {
        let sql = format!(
            "SELECT {} FROM record WHERE kind = $1 AND id = $2",
            Kept::<T>::COLUMNS
        );
        let row = sqlx::query(AssertSqlSafe(sql))
            .bind(T::KIND)
            .bind(id)
            .fetch_optional(&self.pool)
            .await?;
        row.as_ref().map(Kept::read).transpose()
    }

    /// Whether there is a record of that id, put away or not.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn has<T: Record>(&self, id: &str) -> Result<bool, StoreError> {
        let row = sqlx::query("SELECT 1 FROM record WHERE kind = $1 AND id = $2")
            .bind(T::KIND)
            .bind(id)
            .fetch_optional(&self.pool)
            .await?;
        Ok(row.is_some())
    }

    /// The record of that id.
    ///
    /// # Errors
    /// [`StoreError::Missing`] when there is none.
    pub async fn get<T: Record>(&self, id: &str) -> Result<Kept<T>, StoreError> {
        self.find(id).await?.ok_or_else(|| StoreError::Missing {
            kind: T::KIND.to_owned(),
            id: id.to_owned(),
        })
    }

    /// A list.
    ///
    /// # Errors
    /// As [`Self::find`].
    pub async fn list<T: Record>(&self, look: &Look<'_>) -> Result<Vec<Kept<T>>, StoreError> {
        let mut q = Query::new(Kept::<T>::COLUMNS, T::KIND, look);
        // One person has few things: found first and then put in order. SQLite would walk through everybody's in order.
        let few = look.owner.is_some() || !look.owners.is_empty();
        q.sql.push_str(match (look.order, few) {
            (Order::First, false) => " ORDER BY sort, id",
            (Order::Last, false) => " ORDER BY sort DESC, id DESC",
            (Order::First, true) => " ORDER BY sort || '', id",
            (Order::Last, true) => " ORDER BY sort || '' DESC, id DESC",
        });
        if look.most > 0 {
            q.sql
                .push_str(&format!(" LIMIT {} OFFSET {}", look.most, look.skip));
        }
        q.rows(self).await?.iter().map(Kept::read).collect()
    }

    /// Those that were changed after a turn, put away or not.
    ///
    /// # Errors
    /// As [`Self::find`].
    pub async fn changed_after<T: Record>(&self, turn: i64) -> Result<Vec<Kept<T>>, StoreError> {
        let sql = format!(
            "SELECT {} FROM record WHERE kind = $1 AND id IN (SELECT id FROM change WHERE turn > $2 AND kind = $1)",
            Kept::<T>::COLUMNS
        );
        let rows = sqlx::query(AssertSqlSafe(sql))
            .bind(T::KIND)
            .bind(turn)
            .fetch_all(&self.pool)
            .await?;
        rows.iter().map(Kept::read).collect()
    }

    /// How many a list would hold, whatever its `skip` and `most`.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn count<T: Record>(&self, look: &Look<'_>) -> Result<u64, StoreError> {
        let rows = Query::new("COUNT(*)", T::KIND, look).rows(self).await?;
        let count: i64 = rows.first().map_or(Ok(0), |r| r.try_get(0))?;
        Ok(count.unsigned_abs())
    }

    /// How many there are in each state.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn count_by_state<T: Record>(
        &self,
        look: &Look<'_>,
    ) -> Result<BTreeMap<String, u64>, StoreError> {
        self.count_by::<T>("state", look).await
    }

    /// How many there are of each owner.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn count_by_owner<T: Record>(
        &self,
        look: &Look<'_>,
    ) -> Result<BTreeMap<String, u64>, StoreError> {
        self.count_by::<T>("owner", look).await
    }

    async fn count_by<T: Record>(
        &self,
        column: &'static str,
        look: &Look<'_>,
    ) -> Result<BTreeMap<String, u64>, StoreError> {
        let mut q = Query::new(&format!("{column}, COUNT(*)"), T::KIND, look);
        q.sql.push_str(&format!(" GROUP BY {column}"));
        let mut out = BTreeMap::new();
        for row in q.rows(self).await? {
            let count: i64 = row.try_get(1)?;
            out.insert(row.try_get(0)?, count.unsigned_abs());
        }
        Ok(out)
    }

    /// Everything of a kind as it is stored, put away or not, in the order of ids.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn bodies(&self, kind: &str) -> Result<Vec<Body>, StoreError> {
        let mut rows =
            sqlx::query("SELECT id, version, archived, changed, body FROM record WHERE kind = $1")
                .bind(kind)
                .fetch_all(&self.pool)
                .await?
                .iter()
                .map(|row| {
                    Ok(Body {
                        id: row.try_get("id")?,
                        version: row.try_get("version")?,
                        archived: row.try_get::<Option<i64>, _>("archived")?.map(instant),
                        changed: instant(row.try_get("changed")?),
                        body: row.try_get("body")?,
                    })
                })
                .collect::<Result<Vec<_>, StoreError>>()?;
        rows.sort_by(|a, b| a.id.cmp(&b.id));
        Ok(rows)
    }

    /// A record as it was at an earlier version.
    ///
    /// # Errors
    /// As [`Self::find`].
    pub async fn at_version<T: Record>(
        &self,
        id: &str,
        version: i64,
    ) -> Result<Option<T>, StoreError> {
        let row =
            sqlx::query("SELECT after FROM change WHERE kind = $1 AND id = $2 AND version = $3")
                .bind(T::KIND)
                .bind(id)
                .bind(version)
                .fetch_optional(&self.pool)
                .await?;
        row.map(|r| parse(id, &r.try_get::<String, _>(0)?))
            .transpose()
    }
}
