//! Kilns that are to be learnt anew by themselves, after a firing was emptied.

use std::collections::BTreeSet;

use glost_model::book::{Act, FiringState, Learning, Lessons, Stock};
use glost_model::kiln::Kiln;
use glost_store::Kept;
use jiff::Timestamp;

use super::super::{Actor, Desk, DeskError};
use super::{Gathered, Over, has_seen, written};

/// A kiln with firings that no edition has seen.
#[derive(Debug, Clone)]
pub struct ToLearn {
    /// The kiln.
    pub kiln: Kept<Stock<Kiln>>,
    /// Those firings, as they are: emptied, with their log and every cone that was set.
    pub firings: Vec<Over>,
}

impl ToLearn {
    /// Numbers of the firings.
    pub fn ids(&self) -> Vec<String> {
        self.firings.iter().map(|o| o.firing.id.clone()).collect()
    }

    /// The same text as long as the same is to be learnt from.
    pub fn state(&self) -> String {
        let each = self.firings.iter();
        each.map(|o| format!("{}: {}\n", o.firing.id, o.state))
            .collect()
    }
}

impl Desk {
    /// Kilns that are to be learnt anew. Each firing is asked for once: when the latest edition has seen it, whether that
    /// is in force or not, or was taken back, it is not asked for again until something is known of it that was not.
    ///
    /// # Errors
    /// Of the store.
    pub async fn to_learn(&self) -> Result<Vec<ToLearn>, DeskError> {
        let mut all = Vec::new();
        for kiln in self.stock::<Kiln>().await? {
            if !self.learning(&kiln.body).await?.body.after_firings {
                continue;
            }
            let mut firings = self.over_in(&kiln.body).await?;
            firings.retain(Over::complete);
            if firings.is_empty() {
                continue;
            }
            let (latest, left_out) = self.latest_edition(&kiln.body.id).await?;
            firings.retain(|o| {
                !left_out.contains(&o.firing.id) && latest.as_ref().is_none_or(|l| !has_seen(l, o))
            });
            if !firings.is_empty() {
                all.push(ToLearn { kiln, firings });
            }
        }
        Ok(all)
    }

    /// What a kiln that is due is learnt from.
    ///
    /// # Errors
    /// As [`Self::gather_lessons`].
    pub async fn gather_due(&self, due: &ToLearn) -> Result<Gathered, DeskError> {
        let kiln = &due.kiln.body;
        let (_, mut left_out) = self.latest_edition(&kiln.id).await?;
        // Cones of one that is still being emptied are read one by one.
        let all = self.over_in(kiln).await?.into_iter();
        let being_emptied = all.filter(|o| o.firing.state != FiringState::Done);
        left_out.extend(being_emptied.map(|o| o.firing.id));
        self.gather_lessons(kiln, &left_out).await
    }

    /// The edition of the highest number that there ever was, and firings that are left out now.
    async fn latest_edition(
        &self,
        kiln: &str,
    ) -> Result<(Option<Lessons>, BTreeSet<String>), DeskError> {
        let kept = self.store.find::<Lessons>(kiln).await?;
        let left_out = kept.map(|k| k.body.left_out).unwrap_or_default();
        let history = self.store.history("lessons", kiln).await?;
        let latest = history
            .iter()
            .flat_map(written)
            .max_by_key(|l| l.edition)
            .filter(|l| l.edition > 0);
        Ok((latest, left_out))
    }

    /// How a kiln is learnt from; by itself, at version 0, when nobody has set it.
    pub(super) async fn learning(&self, kiln: &Stock<Kiln>) -> Result<Kept<Learning>, DeskError> {
        let usual = Learning::usual(&kiln.id, &kiln.thing.name);
        let found = self.store.find::<Learning>(&kiln.id).await?;
        Ok(match found {
            None => Kept {
                body: usual,
                version: 0,
                archived: None,
                changed: Timestamp::UNIX_EPOCH,
            },
            // Setting it for the first time was taken back.
            Some(kept) if kept.archived.is_some() => Kept {
                body: usual,
                ..kept
            },
            Some(kept) => kept,
        })
    }

    /// Has a kiln learnt anew by itself after each firing, or not, as seen at `version`.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], no such kiln, or somebody else set it meanwhile.
    pub async fn set_learning(
        &self,
        actor: Actor<'_>,
        kiln: &str,
        after_firings: bool,
        version: i64,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Keep)?;
        let stock = self.store.get::<Stock<Kiln>>(kiln).await?.body;
        let away = self.learning(&stock).await?.archived.is_some();
        let learning = Learning {
            after_firings,
            ..Learning::usual(&stock.id, &stock.thing.name)
        };
        let word = if after_firings {
            "after each firing"
        } else {
            "only when somebody asks"
        };
        let verb = format!("learn kiln {} {word}", stock.thing.name);
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        if version == 0 {
            turn.add(&learning).await?;
        } else {
            let version = if away {
                turn.archive::<Learning>(kiln, version, false).await?
            } else {
                version
            };
            turn.put(&learning, version).await?;
        }
        Ok(turn.commit().await?)
    }
}
