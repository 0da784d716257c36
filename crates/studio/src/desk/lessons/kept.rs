//! Keeping what was worked out, edition by edition.

use glost_heat::learn::Foretold;
use glost_model::book::{Act, Held, Lessons};
use glost_store::{By, StoreError};
use jiff::Timestamp;

use super::super::notice::PROGRAM;
use super::super::{Actor, Desk, DeskError};
use super::{Gathered, WorkedOut, written};

impl Desk {
    /// Keeps what was worked out as the next edition. Plans use it from now on, unless somebody said that they shall not.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], or of the store.
    pub async fn keep_lessons(
        &self,
        actor: Actor<'_>,
        from: &Gathered,
        found: &WorkedOut,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Keep)?;
        let verb = |_, name: &str| format!("learn kiln {name} from its firings");
        self.keep_edition(actor.by(), from, found, None, verb).await
    }

    /// Keeps what Glost worked out by itself after `firings`. When others that are left out are foretold worse with one
    /// of the new ones than without it, it is kept and not put in force.
    ///
    /// # Errors
    /// Of the store.
    pub async fn keep_by_itself(
        &self,
        at: Timestamp,
        from: &Gathered,
        found: &WorkedOut,
        firings: &[String],
    ) -> Result<i64, DeskError> {
        let after = match firings {
            [one] => format!("firing {one}"),
            all => format!("firings {}", all.join(", ")),
        };
        let told = |f: &Foretold| f.within().unwrap_or_default();
        let worse = found.weighed.iter().filter(|w| w.worse()).map(|w| {
            format!(
                "With firing {}, others that are left out are foretold within {}; without it, within {}",
                w.firing,
                told(&w.with),
                told(&w.without)
            )
        });
        let worse: Vec<String> = worse.collect();
        let why = (!worse.is_empty()).then(|| worse.join(". "));
        let held = why.is_some();
        let verb = |edition: u32, name: &str| {
            let rest = if held {
                ", kept and not put in force"
            } else {
                ""
            };
            format!("learn kiln {name} by itself after {after}: edition {edition}{rest}")
        };
        let by = By { who: PROGRAM, at };
        self.keep_edition(by, from, found, why, verb).await
    }

    /// With `why` it is held back.
    async fn keep_edition(
        &self,
        by: By<'_>,
        from: &Gathered,
        found: &WorkedOut,
        why: Option<String>,
        verb: impl FnOnce(u32, &str) -> String,
    ) -> Result<i64, DeskError> {
        let (id, name) = (&from.kiln.id, &from.kiln.thing.name);
        let edition = self.next_edition(id).await?;
        let whole = serde_json::to_value(&found.learnt)
            .map_err(|e| DeskError::Machine(format!("what was learnt cannot be written: {e}")))?;
        let mut new = Lessons {
            edition,
            taught: found.learnt.taught(edition),
            weakens: found.weakens.clone(),
            switchings: found.switchings,
            whole,
            seen: from.seen.clone(),
            ..Lessons::none_yet(id, name, by.at)
        };
        let mut turn = self.store.turn(by, &verb(edition, name)).await?;
        // Read within the turn: whoever used it or left a firing out meanwhile has said so.
        let before = match turn.get::<Lessons>(id).await {
            Ok(kept) => Some(kept),
            Err(StoreError::Missing { .. }) => None,
            Err(e) => return Err(e.into()),
        };
        let mut lessons = match &before {
            Some(kept) if kept.archived.is_none() => kept.body.clone(),
            // The first edition was taken back: none is in force.
            Some(kept) => Lessons {
                left_out: kept.body.left_out.clone(),
                ..Lessons::none_yet(id, name, by.at)
            },
            None => Lessons::none_yet(id, name, by.at),
        };
        match why {
            Some(why) => lessons.held = Some(Box::new(Held { why, lessons: new })),
            None => {
                new.used = lessons.used;
                new.left_out = lessons.left_out;
                lessons = new;
            }
        }
        match before {
            None => turn.add(&lessons).await?,
            Some(kept) => {
                let version = if kept.archived.is_some() {
                    turn.archive::<Lessons>(id, kept.version, false).await?
                } else {
                    kept.version
                };
                turn.put(&lessons, version).await?;
            }
        }
        Ok(turn.commit().await?)
    }

    /// One more than any that there was, those taken back included.
    async fn next_edition(&self, kiln: &str) -> Result<u32, DeskError> {
        let all = self.store.history("lessons", kiln).await?;
        let highest = all.iter().flat_map(written).map(|l| l.edition);
        Ok(highest.max().unwrap_or(0) + 1)
    }
}
