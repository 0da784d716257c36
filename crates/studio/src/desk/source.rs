//! Where the readings of each kiln come from.

use glost_model::book::{Act, Firing, Source, SourceKind, Stock};
use glost_model::kiln::Kiln;
use glost_store::{Kept, Look};
use jiff::Timestamp;

use super::{Actor, Desk, DeskError};
use crate::hear::Way;

impl Desk {
    /// The source of a kiln by its id; by hand at version 0 when none was set.
    ///
    /// # Errors
    /// Of the store.
    pub async fn source(&self, kiln: &str) -> Result<Kept<Source>, DeskError> {
        let found = self.store.find::<Source>(kiln).await?;
        let by_hand = Source::by_hand(kiln);
        Ok(match found {
            None => Kept {
                body: by_hand,
                version: 0,
                archived: None,
                changed: Timestamp::UNIX_EPOCH,
            },
            // Setting it for the first time was taken back.
            Some(kept) if kept.archived.is_some() => Kept {
                body: by_hand,
                ..kept
            },
            Some(kept) => kept,
        })
    }

    /// Id of the kiln of that name.
    ///
    /// # Errors
    /// Of the store.
    pub async fn kiln_of(&self, name: &str) -> Result<Option<String>, DeskError> {
        let all = self.stock::<Kiln>().await?;
        let found = all.into_iter().find(|k| k.body.thing.name == name);
        Ok(found.map(|k| k.body.id))
    }

    /// Whether what is read of a firing is that of a synthetic kiln.
    ///
    /// # Errors
    /// Of the store.
    pub async fn is_rehearsed(&self, firing: &Firing) -> Result<bool, DeskError> {
        Ok(match self.kiln_of(&firing.kiln).await? {
            Some(kiln) => self.source(&kiln).await?.body.rehearsal.is_some(),
            None => false,
        })
    }

    /// Whether something is set up that is to tell readings of a firing, so that somebody counts on them.
    ///
    /// # Errors
    /// Of the store.
    pub async fn is_heard(&self, firing: &Firing) -> Result<bool, DeskError> {
        Ok(match self.kiln_of(&firing.kiln).await? {
            Some(kiln) => self.source(&kiln).await?.body.kind != SourceKind::Hand,
            None => false,
        })
    }

    /// Sets the source of a kiln that was seen at `version`.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], no such kiln, a topic that Glost tells of its notices on, or when somebody else
    /// changed it.
    pub async fn set_source(
        &self,
        actor: Actor<'_>,
        kiln: &str,
        version: i64,
        way: &Way,
        rehearsal: Option<u32>,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Govern)?;
        let stock = self.store.get::<Stock<Kiln>>(kiln).await?.body;
        let own = self.given().await?.settings.ways.mqtt.clone();
        if let Some(own) = own
            && way.topics().contains(&own.topic)
        {
            return Err(DeskError::field(
                "topic.0",
                format!("Glost tells of its notices on '{}'", own.topic),
                "Name the topic on which the kiln's logger speaks",
            ));
        }
        let source = way.kept(kiln, rehearsal)?;
        let verb = format!(
            "hear kiln {}: {}",
            stock.thing.name,
            source.kind.words().to_lowercase()
        );
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        let away = self.source(kiln).await?.archived.is_some();
        if version == 0 {
            turn.add(&source).await?;
        } else {
            let version = if away {
                turn.archive::<Source>(kiln, version, false).await?
            } else {
                version
            };
            turn.put(&source, version).await?;
        }
        Ok(turn.commit().await?)
    }

    /// Topics on which kilns of the studio are heard: nothing is published there.
    ///
    /// # Errors
    /// Of the store.
    pub async fn heard_topics(&self) -> Result<Vec<String>, DeskError> {
        let look = Look {
            states: &[SourceKind::Broker.key()],
            ..Look::default()
        };
        let all = self.store.list::<Source>(&look).await?;
        // One that this version cannot read is not listened to either.
        let ways = all.iter().filter_map(|s| Way::of(&s.body).ok());
        Ok(ways.flat_map(|w| w.topics()).collect())
    }
}
