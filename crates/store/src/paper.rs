//! Long texts, such as plans, which no list needs.

use sqlx::Row;

use crate::{Store, StoreError, Turn};

impl Store {
    /// A long text.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn paper(&self, kind: &str, id: &str) -> Result<Option<String>, StoreError> {
        let row = sqlx::query("SELECT body FROM paper WHERE kind = $1 AND id = $2")
            .bind(kind)
            .bind(id)
            .fetch_optional(&self.pool)
            .await?;
        row.map(|r| Ok(r.try_get(0)?)).transpose()
    }
}

impl Turn {
    /// Keeps a long text in place of the one that was there.
    ///
    /// # Errors
    /// [`StoreError::Sql`].
    pub async fn write_paper(
        &mut self,
        kind: &str,
        id: &str,
        body: &str,
    ) -> Result<(), StoreError> {
        sqlx::query(
            "INSERT INTO paper (kind, id, body, changed) VALUES ($1, $2, $3, $4)
             ON CONFLICT (kind, id) DO UPDATE SET body = excluded.body, changed = excluded.changed",
        )
        .bind(kind)
        .bind(id)
        .bind(body)
        .bind(self.at.as_microsecond())
        .execute(&mut *self.tx)
        .await?;
        Ok(())
    }
}
