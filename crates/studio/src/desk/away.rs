//! What was put away, and bringing it back.

use glost_model::book::{Act, Person, Stock, Thing};
use glost_store::{Kept, Look, Record};

use super::{Actor, Desk, DeskError};

impl Desk {
    /// Everything of a kind that was put away.
    ///
    /// # Errors
    /// Of the store.
    pub async fn put_away<T: Record>(&self) -> Result<Vec<Kept<T>>, DeskError> {
        let look = Look {
            archived: true,
            ..Look::default()
        };
        let mut all = self.store.list::<T>(&look).await?;
        all.retain(|k| k.archived.is_some());
        Ok(all)
    }

    /// Brings a thing back that was seen put away at `version`.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`]; [`DeskError::Cannot`] when another has its name by now, or it is not away any more.
    pub async fn bring_thing_back<T: Thing>(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Keep)?;
        let kept = self.store.get::<Stock<T>>(id).await?;
        let name = kept.body.thing.name();
        let there = self.stock::<T>().await?;
        if there.iter().any(|k| k.body.thing.name() == name) {
            return Err(DeskError::cannot(
                format!("the studio has a {} '{name}' by now", T::KIND),
                "Give that one another name first",
            ));
        }
        let verb = format!("bring {} {name} back", T::KIND);
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        turn.archive::<Stock<T>>(id, version, false).await?;
        Ok(turn.commit().await?)
    }

    /// Brings a person back. They sign in again by a new link.
    ///
    /// # Errors
    /// As [`Self::bring_thing_back`].
    pub async fn bring_person_back(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Govern)?;
        let name = self.store.get::<Person>(id).await?.body.name;
        let verb = format!("bring {name} back");
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        turn.archive::<Person>(id, version, false).await?;
        Ok(turn.commit().await?)
    }
}
