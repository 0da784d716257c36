//! Taking back what was done.

use glost_model::book::{Act, Lessons, Person, Settings};
use glost_store::{Record, StoreError, TurnLook, TurnRow};
use jiff::SignedDuration;

use super::{Actor, Desk, DeskError};

/// So long somebody's last step is offered to be taken back where they come in: what is older is looked for.
const LAST: SignedDuration = SignedDuration::from_hours(24);
/// Of so many steps the last one that still stands is sought.
const SOUGHT: u32 = 12;
/// What founds something stands among the first things of its turn.
const FIRST: u32 = 4;

impl Desk {
    /// What the person did last, when it can still be taken back.
    ///
    /// # Errors
    /// Of the store.
    pub async fn last_step(&self, actor: Actor<'_>) -> Result<Option<TurnRow>, DeskError> {
        let look = TurnLook {
            who: Some(&actor.person.id),
            from: actor.at.checked_sub(LAST).ok(),
            most: SOUGHT,
            ..TurnLook::default()
        };
        let all = self.store.find_turns(&look).await?;
        // Steps that were taken back, and the taking back itself, lead on to the one before.
        let last = all
            .into_iter()
            .find(|t| t.undone_by.is_none() && t.undoes.is_none());
        let Some(last) = last else { return Ok(None) };
        let stands = self.store.undoable(&[last.id]).await?.contains(&last.id)
            && !self.founds(last.id).await?;
        Ok(stands.then_some(last))
    }

    /// Whether the turn made the studio, or somebody who signs in: taking that back would lock people out. Who is to go
    /// is put away by a technician.
    async fn founds(&self, turn: i64) -> Result<bool, StoreError> {
        let first = self.store.changes(&[turn], 0, FIRST).await?;
        let new = |kind: &str| first.iter().any(|c| c.before.is_none() && c.kind == kind);
        if new(Settings::KIND) {
            return Ok(true);
        }
        let joined = first
            .iter()
            .any(|c| c.before.is_none() && c.kind == Person::KIND && c.id == c.turn.who);
        Ok(joined)
    }

    /// Whether the turn kept what a kiln taught: that goes back as if somebody had done it.
    async fn teaches(&self, turn: i64) -> Result<bool, StoreError> {
        let first = self.store.changes(&[turn], 0, FIRST).await?;
        Ok(!first.is_empty() && first.iter().all(|c| c.kind == Lessons::KIND))
    }

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
        let by_program = row.filter(|r| r.who == super::notice::PROGRAM);
        if let Some(row) = by_program
            && !self.teaches(turn).await?
        {
            return Err(StoreError::NotUndone {
                verb: row.verb,
                why: "the program did it, and who was told was told".to_owned(),
            }
            .into());
        }
        if self.founds(turn).await? {
            return Err(StoreError::NotUndone {
                verb: "coming in".to_owned(),
                why: "nobody could sign in after that; a technician can put a person away"
                    .to_owned(),
            }
            .into());
        }
        Ok(self.store.undo(turn, actor.by()).await?)
    }
}
