//! What instruments tell of a firing: kept, read back, thinned out for drawings.

use glost_model::Temperature;
use glost_model::book::{Act, Firing, FiringState};
use glost_model::readings::Sample;
use glost_store::{Mark, ReadingRow, ReadingSpan};
use jiff::{SignedDuration, Timestamp};
use tokio::sync::broadcast;

use super::{Actor, Desk, DeskError};

/// Rows read at once.
const PAGE: i64 = 5_000;
/// A reading written down by hand may lie so far ahead: clocks of phones differ.
const AHEAD: SignedDuration = SignedDuration::from_mins(2);
/// So long before somebody wrote down that the kiln is on it may have been on.
const BEFORE: SignedDuration = SignedDuration::from_hours(6);
/// Most samples that a program sends at once.
const MOST: usize = 500;

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

    /// Keeps samples that a program sends, of a firing that was started; answers how many are new. Those who follow the
    /// firing hear of them.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], a firing that was never started, or a sample that cannot be, with its number.
    pub async fn take_samples(
        &self,
        actor: Actor<'_>,
        id: &str,
        samples: &[Sample],
    ) -> Result<u64, DeskError> {
        actor.must(Act::Fire)?;
        let firing = self.firing(id).await?.body;
        let Some(start) = firing.switched_on() else {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", firing.state.words()),
                "Write down that it is on first",
            ));
        };
        if samples.len() > MOST {
            return Err(DeskError::field(
                "samples",
                format!("there are more than {MOST}"),
                "Send fewer at once",
            ));
        }
        let mut faults = Vec::new();
        for (i, sample) in samples.iter().enumerate() {
            let early = start.duration_since(sample.at) > BEFORE;
            if early || sample.at.duration_since(actor.at) > AHEAD {
                faults.push((
                    format!("samples[{i}].at"),
                    "is long before the start of the firing, or still to come",
                    "Send when it was read, in RFC 3339 with its offset",
                ));
            }
            let hot = |t: &Temperature| !(-50.0..=2000.0).contains(&t.to_c());
            let told = [sample.sensor, sample.set_point];
            if told.iter().flatten().any(hot) || sample.others.iter().any(|o| hot(&o.1)) {
                faults.push((
                    format!("samples[{i}]"),
                    "tells a temperature that no kiln has",
                    "Send °C, and leave out what a broken sensor tells",
                ));
            }
            if sample.duty.is_some_and(|d| !(0.0..=1.0).contains(&d)) {
                faults.push((
                    format!("samples[{i}].duty"),
                    "is not between 0 and 1",
                    "Send the share of full power: 0.5 for half",
                ));
            }
            if sample
                .meter
                .is_some_and(|m| !m.is_finite() || m < glost_model::Energy::ZERO)
            {
                faults.push((
                    format!("samples[{i}].meter_j"),
                    "is less than nothing",
                    "Send what the meter shows, in joules",
                ));
            }
        }
        if !faults.is_empty() {
            return Err(DeskError::fields(faults.into_iter().take(20)));
        }
        let new = self.keep_samples(id, samples, None, actor.at).await?;
        self.tell_heard(id);
        Ok(new)
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
        self.tell_heard(id);
        Ok(sample)
    }

    /// Hears of firings that have new samples. Whoever was away too long hears of it by an error, and looks at all.
    pub fn heard(&self) -> broadcast::Receiver<String> {
        self.heard.subscribe()
    }

    /// Tells those who follow a firing that it has new samples.
    pub fn tell_heard(&self, firing: &str) {
        // Nobody may be listening.
        drop(self.heard.send(firing.to_owned()));
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

    /// About so many samples of a firing, spread over its time, the first and the last among them: enough to draw a curve
    /// from. Only these are read, however long the log.
    ///
    /// # Errors
    /// As [`Self::samples_after`].
    pub async fn samples_thinned(
        &self,
        firing: &str,
        most: usize,
    ) -> Result<Vec<Sample>, DeskError> {
        let most = u32::try_from(most).unwrap_or(u32::MAX);
        let rows = self.store.readings_spread(firing, most).await?;
        rows.iter().map(|row| sample(firing, row)).collect()
    }

    /// When the last reading of a firing was made.
    ///
    /// # Errors
    /// Of the store.
    pub async fn last_read_at(&self, firing: &str) -> Result<Option<Timestamp>, DeskError> {
        Ok(self.store.last_reading(firing).await?.map(|row| row.at))
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
