//! Stretches of a log that are not to be believed: marked, left out, taken back. Readings are never deleted.

use glost_model::book::stretch::any_holds;
use glost_model::book::{Act, BadStretch, Firing, Unsound};
use glost_model::readings::Sample;
use glost_store::{Kept, Look, StoreError, new_code};
use jiff::{SignedDuration, Timestamp};

use super::words::{MOST_NOTE, words};
use super::{Actor, Desk, DeskError};

/// Most stretches of one log: a log with more is better left out whole.
const MOST: usize = 40;
/// Whoever types minutes means the first and the last reading as well.
const MINUTE: SignedDuration = SignedDuration::from_secs(59);

/// A stretch as somebody marks it, to the minute.
#[derive(Debug, Clone)]
pub struct NewStretch {
    /// Its first minute.
    pub from: Option<Timestamp>,
    /// Its last minute.
    pub to: Option<Timestamp>,
    /// Why.
    pub why: Option<Unsound>,
    /// In words.
    pub words: String,
}

impl Desk {
    /// Stretches of a firing that are marked, in order of time.
    ///
    /// # Errors
    /// Of the store.
    pub async fn bad_stretches(&self, firing: &str) -> Result<Vec<BadStretch>, DeskError> {
        let all = self.marked(firing).await?;
        Ok(all.into_iter().map(|k| k.body).collect())
    }

    /// The same with their versions, for whoever may look at firings.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], or of the store.
    pub async fn stretches(
        &self,
        actor: Actor<'_>,
        firing: &str,
    ) -> Result<Vec<Kept<BadStretch>>, DeskError> {
        actor.must(Act::Plan)?;
        self.marked(firing).await
    }

    async fn marked(&self, firing: &str) -> Result<Vec<Kept<BadStretch>>, DeskError> {
        let look = Look {
            link: Some(firing),
            ..Look::default()
        };
        let mut all = self.store.list::<BadStretch>(&look).await?;
        all.sort_by_key(|k| (k.body.from, k.body.to));
        Ok(all)
    }

    /// Marks readings from one minute to another as not to be believed. They stay in the log.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`]; every fault of the form, as a stretch without a reading.
    pub async fn mark_stretch(
        &self,
        actor: Actor<'_>,
        firing: &str,
        new: &NewStretch,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Keep)?;
        let of: Firing = self.firing(firing).await?.body;
        let text = words("words", &new.words, MOST_NOTE)?;
        let kept = self.samples_kept(firing).await?;
        let mut faults: Vec<(String, &str, &str)> = Vec::new();
        let mut fault = |field: &str, what, remedy| faults.push((field.to_owned(), what, remedy));
        if new.why.is_none() {
            fault("unsound", "no reason is chosen", "Choose what happened");
        }
        if new.why == Some(Unsound::Other) && text.is_empty() {
            fault("words", "nothing says what it was", "Write what happened");
        }
        match (new.from, new.to, kept) {
            (_, _, None) => fault(
                "from",
                "there is no reading of this firing",
                "Bring its log in first",
            ),
            (Some(from), Some(to), _) if to < from => {
                fault(
                    "to",
                    "it ends before it begins",
                    "Write the later time here",
                );
            }
            (Some(from), Some(to), Some(span)) if from > span.to || to + MINUTE < span.from => {
                fault(
                    "from",
                    "there is no reading in this stretch",
                    "Look at the curve for the time, and mind the day",
                );
            }
            _ => {}
        }
        let marked = self.marked(firing).await?;
        let both = new.from.zip(new.to);
        if marked
            .iter()
            .any(|k| both.is_some_and(|(a, b)| k.body.holds(a) && k.body.holds(b)))
        {
            fault(
                "from",
                "this stretch is marked already",
                "Take the mark back first to say otherwise",
            );
        }
        if marked.len() >= MOST {
            fault(
                "from",
                "there are many stretches already",
                "Leave the whole firing out of what its kiln teaches",
            );
        }
        let (Some(from), Some(to), Some(why)) = (new.from, new.to, new.why) else {
            if new.from.is_none() {
                fault("from", "is no time", "Choose day and time");
            }
            if new.to.is_none() {
                fault("to", "is no time", "Choose day and time");
            }
            return Err(DeskError::fields(faults));
        };
        if !faults.is_empty() {
            return Err(DeskError::fields(faults));
        }
        let stretch = BadStretch {
            id: format!("{}{}", new_code()?, new_code()?).to_lowercase(),
            firing: of.id.clone(),
            from,
            to: to.checked_add(MINUTE).unwrap_or(to),
            why,
            words: text,
            who: actor.person.id.clone(),
            at: actor.at,
        };
        let verb = format!(
            "mark readings of firing {firing} as not to be believed: {}",
            stretch.why.words()
        );
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        turn.add(&stretch).await?;
        let done = turn.commit().await?;
        // Whoever follows the firing begins anew without them.
        self.tell_heard(firing);
        Ok(done)
    }

    /// Believes the readings of a stretch again, as seen at `version`.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`]; a stretch that there is not in that firing, or that somebody else took back.
    pub async fn believe_again(
        &self,
        actor: Actor<'_>,
        firing: &str,
        id: &str,
        version: i64,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Keep)?;
        let kept = self.store.get::<BadStretch>(id).await?;
        if kept.body.firing != firing || kept.archived.is_some() {
            return Err(StoreError::Missing {
                kind: "stretch".to_owned(),
                id: id.to_owned(),
            }
            .into());
        }
        let verb = format!("believe readings of firing {firing} again");
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        turn.archive::<BadStretch>(id, version, true).await?;
        let done = turn.commit().await?;
        self.tell_heard(firing);
        Ok(done)
    }
}

/// Samples that are to be believed.
pub(crate) fn believed(mut samples: Vec<Sample>, bad: &[BadStretch]) -> Vec<Sample> {
    samples.retain(|s| !any_holds(bad, s.at));
    samples
}
