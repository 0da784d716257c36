//! Kilns, furniture, clays, glazes and settings: kept, changed, put away.

use glost_model::book::{Act, Settings, Stock, Thing};
use glost_store::{Kept, Look, new_code};

use super::{Actor, Desk, DeskError};

impl Desk {
    /// Everything of a kind that the studio has.
    ///
    /// # Errors
    /// Of the store.
    pub async fn stock<T: Thing>(&self) -> Result<Vec<Kept<Stock<T>>>, DeskError> {
        Ok(self.store.list::<Stock<T>>(&Look::default()).await?)
    }

    /// Adds a thing.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`]; a fault of the field `name` when another has its name.
    pub async fn add_thing<T: Thing>(
        &self,
        actor: Actor<'_>,
        thing: T,
    ) -> Result<(String, i64), DeskError> {
        actor.must(Act::Keep)?;
        self.name_is_free::<T>(&thing.name(), None).await?;
        let id = new_code()?.to_lowercase();
        let verb = format!("add {} {}", T::KIND, thing.name());
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        turn.add(&Stock {
            id: id.clone(),
            thing,
        })
        .await?;
        Ok((id, turn.commit().await?))
    }

    /// Changes a thing that was seen at `version`.
    ///
    /// # Errors
    /// As [`Self::add_thing`], and when somebody else changed it.
    pub async fn change_thing<T: Thing>(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        thing: T,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Keep)?;
        self.name_is_free::<T>(&thing.name(), Some(id)).await?;
        let verb = format!("change {} {}", T::KIND, thing.name());
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        turn.put(
            &Stock {
                id: id.to_owned(),
                thing,
            },
            version,
        )
        .await?;
        Ok(turn.commit().await?)
    }

    /// Puts a thing away. Plans that have it keep their copy.
    ///
    /// # Errors
    /// As [`Self::change_thing`].
    pub async fn put_thing_away<T: Thing>(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Keep)?;
        let name = self.store.get::<Stock<T>>(id).await?.body.thing.name();
        let verb = format!("put {} {name} away", T::KIND);
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        turn.archive::<Stock<T>>(id, version, true).await?;
        Ok(turn.commit().await?)
    }

    async fn name_is_free<T: Thing>(&self, name: &str, but: Option<&str>) -> Result<(), DeskError> {
        let other = self.stock::<T>().await?;
        let taken = other
            .iter()
            .any(|k| k.body.thing.name() == name && but != Some(k.body.id.as_str()));
        if taken {
            return Err(DeskError::field(
                "name",
                format!("the studio has a {} '{name}' already", T::KIND),
                "Choose another name, or change the one that is there",
            ));
        }
        Ok(())
    }

    /// Changes the settings that were seen at `version`.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`]; faults of the rules.
    pub async fn change_settings(
        &self,
        actor: Actor<'_>,
        version: i64,
        settings: &Settings,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Govern)?;
        glost_rules::RuleBook::from_overrides(&settings.rule_overrides, "rules")
            .map_err(DeskError::Faults)?;
        let mut turn = self.store.turn(actor.by(), "change the settings").await?;
        turn.put(settings, version).await?;
        Ok(turn.commit().await?)
    }
}
