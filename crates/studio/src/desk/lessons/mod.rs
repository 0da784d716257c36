//! What a kiln's own firings teach of it: worked out, kept edition by edition, used by plans or not, taken back.

mod by_itself;
mod gather;
mod kept;

use std::collections::BTreeSet;

use glost_heat::learn::Learnt;
use glost_model::book::{Act, Learning, Lessons, Stock};
use glost_model::kiln::Kiln;
use glost_store::{ChangeRow, Kept, Look, StoreError};
use jiff::Timestamp;

use super::{Actor, Desk, DeskError};

pub use glost_heat::learn::Looked;
pub use glost_heat::learn::wear::words as left_words;

pub use by_itself::ToLearn;
pub use gather::{Gathered, MOST, Over, THREADS, WorkedOut};

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
    pub over: Vec<Over>,
    /// Editions before this one, the latest first.
    pub editions: Vec<Edition>,
    /// It is learnt anew by itself after each firing; with its version, 0 when nobody has set it.
    pub learning: Kept<Learning>,
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
    /// Firings with a log that were not looked at yet, or are otherwise by now; those left out aside.
    pub fn fresh(&self) -> usize {
        let fresh = self.over.iter().filter(|o| {
            o.lacks.is_none() && !self.is_left_out(&o.firing.id) && !self.has_looked_at(o)
        });
        fresh.count()
    }

    /// Somebody left it out.
    pub fn is_left_out(&self, firing: &str) -> bool {
        let kept = self.kept.as_ref();
        kept.is_some_and(|k| k.body.left_out.contains(firing))
    }

    /// The edition in force, or the one that is held back, has seen the firing as it is.
    pub fn has_looked_at(&self, over: &Over) -> bool {
        let Some(kept) = &self.kept else { return false };
        let held = kept.body.held.as_ref();
        has_seen(&kept.body, over) || held.is_some_and(|h| has_seen(&h.lessons, over))
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
        let editions = self.editions(&kiln.body.id, kept.as_ref()).await?;
        Ok(Known {
            over: self.over_in(&kiln.body).await?,
            learning: self.learning(&kiln.body).await?,
            learnt: learnt.unwrap_or_default(),
            kiln,
            kept,
            editions,
        })
    }

    /// Every edition that there was, the latest first, but for the one in force and the one that is held back.
    async fn editions(
        &self,
        kiln: &str,
        kept: Option<&Kept<Lessons>>,
    ) -> Result<Vec<Edition>, DeskError> {
        let now: Vec<u32> = kept.iter().flat_map(|k| of_record(&k.body)).collect();
        let mut editions: Vec<Edition> = Vec::new();
        for change in self.store.history("lessons", kiln).await? {
            for lessons in written(&change) {
                let known = editions
                    .iter()
                    .any(|e| e.lessons.edition == lessons.edition);
                if lessons.edition > 0 && !known && !now.contains(&lessons.edition) {
                    editions.push(Edition {
                        version: change.version,
                        by: (change.turn.who.clone(), change.turn.at),
                        lessons,
                    });
                }
            }
        }
        editions.sort_by_key(|e| std::cmp::Reverse(e.lessons.edition));
        Ok(editions)
    }

    /// What is kept of a kiln; nothing when the first edition was taken back.
    pub(super) async fn lessons_kept(
        &self,
        kiln: &str,
    ) -> Result<Option<Kept<Lessons>>, DeskError> {
        let found = self.store.find::<Lessons>(kiln).await?;
        Ok(found.filter(|k| k.archived.is_none()))
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
        let held = known.kept.and_then(|k| k.body.held);
        let mut found = known
            .editions
            .into_iter()
            .map(|e| e.lessons)
            .chain(held.map(|h| h.lessons));
        let Some(old) = found.find(|l| l.edition == edition) else {
            return Err(DeskError::cannot(
                format!("there is no edition {edition} of this kiln"),
                "Choose one of the list",
            ));
        };
        let what = format!("by edition {edition}");
        self.change_lessons(actor, kiln, version, "plan", &what, |l| {
            // Who left which firing out stands; what was worked out goes back.
            let left_out: BTreeSet<String> = std::mem::take(&mut l.left_out);
            *l = Lessons {
                left_out,
                used: true,
                held: None,
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

/// The record's edition and the one that it holds back.
fn of_record(lessons: &Lessons) -> impl Iterator<Item = u32> + use<> {
    let held = lessons.held.as_ref().map(|h| h.lessons.edition);
    std::iter::once(lessons.edition).chain(held)
}

/// Editions that a change of the record wrote down.
fn written(change: &ChangeRow) -> impl Iterator<Item = Lessons> + use<> {
    let mut whole = serde_json::from_str::<Lessons>(&change.after).ok();
    let held = whole.as_mut().and_then(|l| l.held.take());
    whole.into_iter().chain(held.map(|h| h.lessons))
}

/// Whether an edition has seen a firing as it is. Editions of before kept no more than which firings they looked at.
fn has_seen(lessons: &Lessons, over: &Over) -> bool {
    let id = &over.firing.id;
    if !lessons.seen.is_empty() {
        return lessons.seen.get(id) == Some(&over.state);
    }
    read(lessons).is_some_and(|l| l.firings.iter().any(|f| f.id == *id))
}
