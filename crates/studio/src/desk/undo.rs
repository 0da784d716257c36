//! Taking back what was done.

use glost_model::book::Act;
use glost_store::StoreError;

use super::{Actor, Desk, DeskError};

impl Desk {
    /// Takes back a turn: one's own, or anybody's for a technician.
    ///
    /// # Errors
    /// [`StoreError::NotUndone`] when somebody built on it, [`DeskError::NotAllowed`].
    pub async fn undo(&self, actor: Actor<'_>, turn: i64) -> Result<i64, DeskError> {
        let row = self
            .store
            .turn_row(turn)
            .await?
            .ok_or_else(|| StoreError::Missing {
                kind: "turn".to_owned(),
                id: turn.to_string(),
            })?;
        if row.who == super::notice::PROGRAM {
            return Err(StoreError::NotUndone {
                verb: row.verb,
                why: "the program did it, and who was told was told".to_owned(),
            }
            .into());
        }
        if row.who != actor.person.id {
            actor.must(Act::Govern)?;
        }
        Ok(self.store.undo(turn, actor.by()).await?)
    }
}
