//! What is kept.

use jiff::Timestamp;
use serde::Serialize;
use serde::de::DeserializeOwned;
use sqlx::Row;
use sqlx::any::AnyRow;

use crate::StoreError;

/// A thing that is kept under its id.
pub trait Record: Serialize + DeserializeOwned + Send + Sync {
    /// Kind, as in the database and in exports.
    const KIND: &'static str;
    /// Its id, unique within its kind.
    fn id(&self) -> &str;
    /// By what lists find it.
    fn keys(&self) -> Keys;
}

/// By what lists find a record.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Keys {
    /// Person that it belongs to.
    pub owner: String,
    /// State that it is in.
    pub state: String,
    /// Another record that it hangs on.
    pub link: String,
    /// Place in lists.
    pub sort: String,
    /// What a search looks at; any case.
    pub words: String,
}

/// A record as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept<T> {
    /// Goes up by one with each change.
    pub version: i64,
    /// When it was put away.
    pub archived: Option<Timestamp>,
    /// When it changed last.
    pub changed: Timestamp,
    /// The thing.
    pub body: T,
}

impl<T: Record> Kept<T> {
    /// Columns that [`Self::read`] needs, in any order.
    pub(crate) const COLUMNS: &'static str = "id, version, archived, changed, body";

    pub(crate) fn read(row: &AnyRow) -> Result<Self, StoreError> {
        let id: String = row.try_get("id")?;
        let body: String = row.try_get("body")?;
        Ok(Self {
            version: row.try_get("version")?,
            archived: row.try_get::<Option<i64>, _>("archived")?.map(instant),
            changed: instant(row.try_get("changed")?),
            body: parse(&id, &body)?,
        })
    }
}

/// A body as stored.
pub(crate) fn parse<T: Record>(id: &str, body: &str) -> Result<T, StoreError> {
    serde_json::from_str(body).map_err(|e| StoreError::Body {
        kind: T::KIND.to_owned(),
        id: id.to_owned(),
        what: e.to_string(),
    })
}

/// A body to store.
pub(crate) fn text<T: Record>(thing: &T) -> Result<String, StoreError> {
    serde_json::to_string(thing).map_err(|e| StoreError::Body {
        kind: T::KIND.to_owned(),
        id: thing.id().to_owned(),
        what: e.to_string(),
    })
}

/// Microseconds since 1970 as stored; the ends of time for what no calendar holds.
pub(crate) fn instant(us: i64) -> Timestamp {
    Timestamp::from_microsecond(us).unwrap_or(if us < 0 {
        Timestamp::MIN
    } else {
        Timestamp::MAX
    })
}
