//! What instruments tell of a firing: kept, read back, thinned out for drawings.

use glost_model::Temperature;
use glost_model::book::{Act, Firing, FiringState};
use glost_model::readings::Sample;
use glost_store::{Mark, ReadingRow, ReadingSpan};
use jiff::{SignedDuration, Timestamp};

use super::{Actor, Desk, DeskError};

/// Rows read at once.
const PAGE: i64 = 5_000;
/// A reading written down by hand may lie so far ahead: clocks of phones differ.
const AHEAD: SignedDuration = SignedDuration::from_mins(2);

impl Desk {
    /// Keeps samples of a firing, and how far their source was read; answers how many are new, once they are on the
    /// disk. A moment that is kept already stays as it is.
    ///
    /// # Errors
    /// Of the store; then nothing of it is kept.
    pub async fn keep_samples(
        &self,
        firing: &str,
        samples: &[Sample],
        mark: Option<Mark<'_>>,
        now: Timestamp,
    ) -> Result<u64, DeskError> {
        let rows = samples
            .iter()
            .map(|s| {
                let body = serde_json::to_string(s)
                    .map_err(|e| DeskError::Machine(format!("a sample cannot be kept: {e}")))?;
                Ok(ReadingRow { at: s.at, body })
            })
            .collect::<Result<Vec<_>, DeskError>>()?;
        Ok(self.store.add_readings(firing, &rows, mark, now).await?)
    }

    /// Keeps what a person read off the display while the kiln is on or cools.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], a firing that is not under way, a time before its start or still to come.
    pub async fn read_by_hand(
        &self,
        actor: Actor<'_>,
        id: &str,
        at: Timestamp,
        read: Temperature,
    ) -> Result<Sample, DeskError> {
        actor.must(Act::Fire)?;
        let firing = self.firing(id).await?.body;
        under_way(&firing)?;
        let start = firing.started.unwrap_or(at);
        if at < start || at.duration_since(actor.at) > AHEAD {
            return Err(DeskError::field(
                "at",
                "this is before the start of the firing, or still to come",
                "Write when you read it",
            ));
        }
        let sample = Sample::of_sensor(at, read);
        let new = self
            .keep_samples(id, std::slice::from_ref(&sample), None, actor.at)
            .await?;
        if new == 0 {
            return Err(DeskError::field(
                "at",
                "there is a reading of this moment already",
                "Write another time",
            ));
        }
        Ok(sample)
    }

    /// The next samples of a firing after a moment, in the order of time; none when there are no more.
    ///
    /// # Errors
    /// Of the store, or a sample that cannot be read.
    pub async fn samples_after(
        &self,
        firing: &str,
        after: Option<Timestamp>,
    ) -> Result<Vec<Sample>, DeskError> {
        let rows = self.store.readings(firing, after, PAGE).await?;
        rows.iter().map(|row| sample(firing, row)).collect()
    }

    /// About so many samples of a firing, evenly spread, the first and the last among them: enough to draw a curve
    /// from. A long log is read in pages, so that memory does not grow with it.
    ///
    /// # Errors
    /// As [`Self::samples_after`].
    pub async fn samples_thinned(
        &self,
        firing: &str,
        most: usize,
    ) -> Result<Vec<Sample>, DeskError> {
        let Some(span) = self.store.reading_span(firing).await? else {
            return Ok(Vec::new());
        };
        let every = usize::try_from(span.rows)
            .unwrap_or(usize::MAX)
            .div_ceil(most.max(2))
            .max(1);
        let (mut out, mut after, mut n) = (Vec::new(), None, 0_usize);
        loop {
            let rows = self.store.readings(firing, after, PAGE).await?;
            let Some(last) = rows.last() else { break };
            after = Some(last.at);
            for row in &rows {
                if n.is_multiple_of(every) || row.at == span.to {
                    out.push(sample(firing, row)?);
                }
                n += 1;
            }
        }
        Ok(out)
    }

    /// How much is kept of a firing.
    ///
    /// # Errors
    /// Of the store.
    pub async fn samples_kept(&self, firing: &str) -> Result<Option<ReadingSpan>, DeskError> {
        Ok(self.store.reading_span(firing).await?)
    }
}

/// Whether a kiln is on or cools.
///
/// # Errors
/// In words when it does not.
pub fn under_way(firing: &Firing) -> Result<(), DeskError> {
    if matches!(firing.state, FiringState::Firing | FiringState::Cooling) {
        return Ok(());
    }
    Err(DeskError::cannot(
        format!("firing {} is {}", firing.id, firing.state.words()),
        "Readings are taken while a kiln is on or cools",
    ))
}

fn sample(firing: &str, row: &ReadingRow) -> Result<Sample, DeskError> {
    serde_json::from_str(&row.body).map_err(|e| {
        DeskError::Machine(format!(
            "a reading of firing {firing} at {} cannot be read: {e}",
            row.at
        ))
    })
}
