//! Photos: what is known of them. The pictures themselves lie beside the database.

use jiff::Timestamp;
use sqlx::Row;

use crate::record::instant;
use crate::{Store, StoreError, Turn};

/// A photo of a thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhotoRow {
    /// Name of its files.
    pub id: String,
    /// Kind of thing.
    pub kind: String,
    /// Which thing.
    pub thing: String,
    /// Who took it.
    pub who: String,
    /// Pixels across.
    pub width: u32,
    /// Pixels down.
    pub height: u32,
    /// When.
    pub made: Timestamp,
}

impl Store {
    /// The photos of a thing, oldest first.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn photos(&self, kind: &str, thing: &str) -> Result<Vec<PhotoRow>, StoreError> {
        let rows = sqlx::query(
            "SELECT id, kind, thing, who, width, height, made FROM photo
             WHERE kind = $1 AND thing = $2 AND removed IS NULL ORDER BY made, id",
        )
        .bind(kind)
        .bind(thing)
        .fetch_all(&self.pool)
        .await?;
        rows.iter().map(photo_row).collect()
    }

    /// All photos that are in sight, by name.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn all_photos(&self) -> Result<Vec<PhotoRow>, StoreError> {
        let rows = sqlx::query(
            "SELECT id, kind, thing, who, width, height, made FROM photo WHERE removed IS NULL",
        )
        .fetch_all(&self.pool)
        .await?;
        let mut all: Vec<PhotoRow> = rows.iter().map(photo_row).collect::<Result<_, _>>()?;
        all.sort_by(|a, b| a.id.cmp(&b.id));
        Ok(all)
    }

    /// One photo.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn photo(&self, id: &str) -> Result<Option<PhotoRow>, StoreError> {
        let row = sqlx::query(
            "SELECT id, kind, thing, who, width, height, made FROM photo WHERE id = $1 AND removed IS NULL",
        )
        .bind(id)
        .fetch_optional(&self.pool)
        .await?;
        row.as_ref().map(photo_row).transpose()
    }
}

fn photo_row(row: &sqlx::any::AnyRow) -> Result<PhotoRow, StoreError> {
    let pixels = |n: i64| u32::try_from(n).unwrap_or(0);
    Ok(PhotoRow {
        id: row.try_get("id")?,
        kind: row.try_get("kind")?,
        thing: row.try_get("thing")?,
        who: row.try_get("who")?,
        width: pixels(row.try_get("width")?),
        height: pixels(row.try_get("height")?),
        made: instant(row.try_get("made")?),
    })
}

impl Turn {
    /// Notes a photo whose files are on the disk already.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn add_photo(&mut self, photo: &PhotoRow) -> Result<(), StoreError> {
        sqlx::query(
            "INSERT INTO photo (id, kind, thing, who, width, height, made) VALUES ($1, $2, $3, $4, $5, $6, $7)",
        )
        .bind(&photo.id)
        .bind(&photo.kind)
        .bind(&photo.thing)
        .bind(&photo.who)
        .bind(i64::from(photo.width))
        .bind(i64::from(photo.height))
        .bind(photo.made.as_microsecond())
        .execute(&mut *self.tx)
        .await?;
        Ok(())
    }

    /// Takes a photo out of sight; its files stay.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn remove_photo(&mut self, id: &str) -> Result<(), StoreError> {
        sqlx::query("UPDATE photo SET removed = $2 WHERE id = $1")
            .bind(id)
            .bind(self.at.as_microsecond())
            .execute(&mut *self.tx)
            .await?;
        Ok(())
    }
}
