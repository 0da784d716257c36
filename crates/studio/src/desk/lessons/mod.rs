//! What a kiln's own firings teach of it: worked out, kept edition by edition, used by plans or not, taken back.

mod gather;

use std::collections::BTreeSet;

use glost_heat::learn::Learnt;
use glost_model::book::{Act, Firing, Lessons, Stock};
use glost_model::kiln::Kiln;
use glost_store::{Kept, Look, StoreError};
use jiff::Timestamp;

use super::{Actor, Desk, DeskError};

pub use glost_heat::learn::Looked;
pub use glost_heat::learn::wear::words as left_words;

pub use gather::{Gathered, MOST, WorkedOut};

/// What is known of a kiln by its own firings.
#[derive(Debug, Clone)]
pub struct Known {
    /// The kiln.
    pub kiln: Kept<Stock<Kiln>>,
    /// What the book keeps; nothing before the first time.
    pub kept: Option<Kept<Lessons>>,
    /// All of it; the priors when nothing is kept, or what is kept is of another way of learning.
    pub learnt: Learnt,
    /// Firings that are over, in order of time, with what they lack to be learnt from.
    pub over: Vec<(Firing, Option<&'static str>)>,
    /// Editions before this one, the latest first.
    pub editions: Vec<Edition>,
}

/// An edition that there is a way back to.
#[derive(Debug, Clone)]
pub struct Edition {
    /// Version of the record.
    pub version: i64,
    /// When it was worked out.
    pub lessons: Lessons,
    /// Who did it, and when.
    pub by: (String, Timestamp),
}

impl Known {
    /// Firings with a log that were not looked at yet, those left out aside.
    pub fn fresh(&self) -> usize {
        let left_out = self.kept.as_ref().map(|k| &k.body.left_out);
        let fresh = self.over.iter().filter(|(f, lacks)| {
            let looked = self.learnt.firings.iter().any(|l| l.id == f.id);
            lacks.is_none() && !looked && left_out.is_none_or(|l| !l.contains(&f.id))
        });
        fresh.count()
    }

    /// Firings that were learnt from and are left out since, or the other way round: it is to be worked out anew.
    pub fn stale(&self) -> bool {
        let Some(kept) = &self.kept else { return false };
        let out = &kept.body.left_out;
        self.learnt.firings.iter().any(|f| out.contains(&f.id))
    }
}

impl Desk {
    /// What was learnt of every kiln and is used by plans, by the kiln's id.
    pub(super) async fn taught(&self) -> Result<Vec<Lessons>, StoreError> {
        let all = self.store.list::<Lessons>(&Look::default()).await?;
        Ok(all.into_iter().map(|k| k.body).collect())
    }

    /// What is known of a kiln by its own firings.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], or when there is no such kiln.
    pub async fn known(&self, actor: Actor<'_>, kiln: &str) -> Result<Known, DeskError> {
        actor.must(Act::Plan)?;
        let kiln = self.store.get::<Stock<Kiln>>(kiln).await?;
        let kept = self.lessons_kept(&kiln.body.id).await?;
        let learnt = kept.as_ref().and_then(|k| read(&k.body));
        let now = kept.as_ref().map_or(0, |k| k.body.edition);
        let mut editions = Vec::new();
        for change in self.store.history("lessons", &kiln.body.id).await? {
            let Ok(lessons) = serde_json::from_str::<Lessons>(&change.after) else {
                continue;
            };
            let known = |e: &Edition| e.lessons.edition == lessons.edition;
            if lessons.edition != now && !editions.iter().any(known) {
                editions.push(Edition {
                    version: change.version,
                    lessons,
                    by: (change.turn.who, change.turn.at),
                });
            }
        }
        Ok(Known {
            over: self.over_in(&kiln.body).await?,
            learnt: learnt.unwrap_or_default(),
            kiln,
            kept,
            editions,
        })
    }

    pub(super) async fn lessons_kept(
        &self,
        kiln: &str,
    ) -> Result<Option<Kept<Lessons>>, DeskError> {
        match self.store.get::<Lessons>(kiln).await {
            Ok(kept) => Ok(Some(kept)),
            Err(StoreError::Missing { .. }) => Ok(None),
            Err(e) => Err(e.into()),
        }
    }

    /// Keeps what was worked out as the next edition. Plans use it from now on, unless somebody said that they shall not.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], of the store, or when somebody else kept something meanwhile.
    pub async fn keep_lessons(
        &self,
        actor: Actor<'_>,
        from: &Gathered,
        found: &WorkedOut,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Keep)?;
        let before = self.lessons_kept(&from.kiln.id).await?;
        let was = before.as_ref().map(|k| &k.body);
        let edition = self.next_edition(&from.kiln.id).await?;
        let whole = serde_json::to_value(&found.learnt)
            .map_err(|e| DeskError::Machine(format!("what was learnt cannot be written: {e}")))?;
        let lessons = Lessons {
            id: from.kiln.id.clone(),
            kiln: from.kiln.thing.name.clone(),
            at: actor.at,
            edition,
            used: was.is_none_or(|w| w.used),
            left_out: was.map(|w| w.left_out.clone()).unwrap_or_default(),
            taught: found.learnt.taught(edition),
            weakens: found.weakens.clone(),
            switchings: found.switchings,
            whole,
        };
        let verb = format!("learn kiln {} from its firings", lessons.kiln);
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        match before {
            Some(kept) => drop(turn.put(&lessons, kept.version).await?),
            None => turn.add(&lessons).await?,
        }
        Ok(turn.commit().await?)
    }

    /// One more than any that there was, those taken back included.
    async fn next_edition(&self, kiln: &str) -> Result<u32, DeskError> {
        let all = self.store.history("lessons", kiln).await?;
        let of = |text: &str| serde_json::from_str::<Lessons>(text).ok();
        let highest = all.iter().filter_map(|c| of(&c.after)).map(|l| l.edition);
        Ok(highest.max().unwrap_or(0) + 1)
    }

    /// Has plans use what was learnt of a kiln, or not, as seen at `version`.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], nothing learnt, or somebody else changed it.
    pub async fn use_lessons(
        &self,
        actor: Actor<'_>,
        kiln: &str,
        used: bool,
        version: i64,
    ) -> Result<i64, DeskError> {
        let word = if used { "with" } else { "without" };
        let what = format!("{word} what was learnt");
        self.change_lessons(actor, kiln, version, "plan", &what, |l| l.used = used)
            .await
    }

    /// Leaves a firing out of what is learnt from, or takes it in again; it counts when the kiln is learnt anew.
    ///
    /// # Errors
    /// As [`Self::use_lessons`].
    pub async fn learn_without(
        &self,
        actor: Actor<'_>,
        kiln: &str,
        firing: &str,
        out: bool,
        version: i64,
    ) -> Result<i64, DeskError> {
        let what = if out {
            format!("not from firing {firing}")
        } else {
            format!("from firing {firing} too")
        };
        self.change_lessons(actor, kiln, version, "learn", &what, |l| {
            if out {
                l.left_out.insert(firing.to_owned());
            } else {
                l.left_out.remove(firing);
            }
        })
        .await
    }

    /// Goes back to an edition that was kept before.
    ///
    /// # Errors
    /// As [`Self::use_lessons`], or when there is no such edition.
    pub async fn back_to(
        &self,
        actor: Actor<'_>,
        kiln: &str,
        edition: u32,
        version: i64,
    ) -> Result<i64, DeskError> {
        let known = self.known(actor, kiln).await?;
        let found = known.editions.into_iter();
        let Some(old) = found.map(|e| e.lessons).find(|l| l.edition == edition) else {
            return Err(DeskError::cannot(
                format!("there is no edition {edition} of this kiln"),
                "Choose one of the list",
            ));
        };
        let what = format!("by edition {edition} again");
        self.change_lessons(actor, kiln, version, "plan", &what, |l| {
            // Who left which firing out stands; what was worked out goes back.
            let left_out: BTreeSet<String> = std::mem::take(&mut l.left_out);
            *l = Lessons {
                left_out,
                used: true,
                ..old
            };
        })
        .await
    }

    async fn change_lessons(
        &self,
        actor: Actor<'_>,
        kiln: &str,
        version: i64,
        verb: &str,
        what: &str,
        change: impl FnOnce(&mut Lessons),
    ) -> Result<i64, DeskError> {
        actor.must(Act::Keep)?;
        let Some(kept) = self.lessons_kept(kiln).await? else {
            return Err(DeskError::cannot(
                "nothing was learnt of this kiln yet",
                "Learn from its firings first",
            ));
        };
        let mut lessons = kept.body;
        change(&mut lessons);
        let verb = format!("{verb} kiln {} {what}", lessons.kiln);
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        turn.put(&lessons, version).await?;
        Ok(turn.commit().await?)
    }
}

/// What was kept, when it is of this way of learning.
fn read(lessons: &Lessons) -> Option<Learnt> {
    let learnt: Learnt = serde_json::from_value(lessons.whole.clone()).ok()?;
    learnt.can_be_used().then_some(learnt)
}
