//! What loads are planned with, put together from the book.

use std::sync::Arc;

use glost_model::book::{Lessons, Settings, State, Stock, Thing, Ware};
use glost_model::furniture::Furniture;
use glost_model::kiln::Kiln;
use glost_model::studio::Studio;
use glost_rules::RuleBook;
use glost_store::{Look, StoreError};

use super::{Desk, DeskError};

/// The studio without its ware, its rules, and what else it is set to.
#[derive(Debug, Clone)]
pub struct Given {
    /// Kilns, furniture, clays, glazes, prices; no ware.
    pub studio: Studio,
    /// Rules.
    pub book: RuleBook,
    /// Settings.
    pub settings: Settings,
    /// Version of the settings.
    pub settings_version: i64,
    /// Topics on which kilns are heard.
    feeds: Vec<String>,
}

impl Given {
    /// Filters of MQTT by which readings of kilns come: no notice goes where one of them listens.
    pub fn feed_topics(&self) -> Vec<String> {
        self.feeds.clone()
    }
}

impl Desk {
    /// What loads are planned with, ware aside. Kept until any of it changes.
    ///
    /// # Errors
    /// Of the store, or faults in rules of one's own.
    pub async fn given(&self) -> Result<Arc<Given>, DeskError> {
        let state = self.store.stock_state().await?;
        self.given
            .get(state, |was, _| *was == state, self.assemble())
            .await
    }

    async fn assemble(&self) -> Result<Given, DeskError> {
        let settings = self.store.get::<Settings>(Settings::ID).await?;
        let s = settings.body;
        let kilns = self.kilns_as_known().await?;
        let studio = Studio {
            name: s.name.clone(),
            kilns,
            furniture: Furniture {
                shelves: self.things().await?,
                posts: self.things().await?,
                supports: self.things().await?,
                post_section: s.post_section,
            },
            clays: self.things().await?,
            glazes: self.things().await?,
            pieces: Vec::new(),
            tariff: s.tariff.clone(),
            hours: s.hours.clone(),
            shown: s.shown,
            rule_overrides: s.rule_overrides.clone(),
        };
        let book =
            RuleBook::from_overrides(&studio.rule_overrides, "rules").map_err(DeskError::Faults)?;
        Ok(Given {
            studio,
            book,
            settings: s,
            settings_version: settings.version,
            feeds: self.heard_topics().await?,
        })
    }

    /// Kilns with what their own firings taught of them, where plans are to use that.
    async fn kilns_as_known(&self) -> Result<Vec<Kiln>, StoreError> {
        let taught = self.taught().await?;
        let all = self.store.list::<Stock<Kiln>>(&Look::default()).await?;
        let known = all.into_iter().map(|k| {
            let lessons = taught.iter().find(|l| l.id == k.body.id);
            Kiln {
                taught: lessons.and_then(Lessons::in_use).cloned().map(Box::new),
                ..k.body.thing
            }
        });
        Ok(known.collect())
    }

    async fn things<T: Thing>(&self) -> Result<Vec<T>, StoreError> {
        let all = self.store.list::<Stock<T>>(&Look::default()).await?;
        Ok(all.into_iter().map(|k| k.body.thing).collect())
    }

    /// The same with the ware that waits.
    ///
    /// # Errors
    /// As [`Self::given`].
    pub async fn studio_with_waiting(&self) -> Result<(Studio, RuleBook), DeskError> {
        let given = self.given().await?;
        let look = Look {
            states: &[State::Waiting.key()],
            ..Look::default()
        };
        let ware = self.store.list::<Ware>(&look).await?;
        let mut studio = given.studio.clone();
        studio.pieces = ware.into_iter().map(|k| k.body.piece).collect();
        Ok((studio, given.book.clone()))
    }
}
