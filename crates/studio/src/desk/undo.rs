//! Taking back what was done.

use glost_model::book::Act;
use glost_store::StoreError;

use super::{Actor, Desk, DeskError};

impl Desk {
    /// Takes back a turn: one's own, or anybody's for a technician.
    ///
    /// # Errors
    /// [`StoreError::NotUndone`] when somebody built on it; [`StoreError::Missing`] when there is none that the person
    /// may take back.
    pub async fn undo(&self, actor: Actor<'_>, turn: i64) -> Result<i64, DeskError> {
        let row = self.store.turn_row(turn).await?;
        let own = row.as_ref().is_some_and(|r| r.who == actor.person.id);
        // How much others have done is not told either.
        if !own && !actor.person.role.may(Act::Govern) {
            return Err(StoreError::Missing {
                kind: "turn".to_owned(),
                id: turn.to_string(),
            }
            .into());
        }
        if let Some(row) = row.filter(|r| r.who == super::notice::PROGRAM) {
            return Err(StoreError::NotUndone {
                verb: row.verb,
                why: "the program did it, and who was told was told".to_owned(),
            }
            .into());
        }
        Ok(self.store.undo(turn, actor.by()).await?)
    }
}
