//! What is heard, taken into the book: with each file the place that it was read to, in one go.

use std::time::Duration;

use glost_feed::tail::Place;
use glost_feed::{Event, Heard, Trouble, TroubleKind};
use glost_model::Span;
use glost_model::book::{Firing, Source, SourceKind};
use glost_model::readings::Sample;
use glost_model::shown::{Shown, hours};
use glost_store::Mark;
use jiff::{SignedDuration, Timestamp};
use tokio::sync::mpsc::Receiver;

use super::state::{Said, Shared};
use crate::desk::Desk;

/// Clocks of loggers differ from this one; what is further ahead is wrong and would spoil what is foreseen.
const AHEAD: SignedDuration = SignedDuration::from_mins(2);
/// Events taken at once.
const MOST: usize = 4_096;
/// Between two tries to write to a book that cannot be written just now: first and longest, s.
const REST: (u64, u64) = (1, 30);

/// Takes in the readings of one firing.
pub struct Take {
    desk: Desk,
    clock: fn() -> Timestamp,
    firing: String,
    started: Timestamp,
    mark: String,
    rehearsed: bool,
    file: bool,
    state: Shared,
    /// Heard, and not yet kept.
    waits: Vec<Sample>,
}

impl Take {
    pub fn new(
        desk: Desk,
        clock: fn() -> Timestamp,
        firing: &Firing,
        mark: String,
        source: &Source,
        state: Shared,
    ) -> Self {
        Self {
            desk,
            clock,
            firing: firing.id.clone(),
            started: firing.started.unwrap_or(Timestamp::UNIX_EPOCH),
            mark,
            rehearsed: source.rehearsal.is_some(),
            file: source.kind == SourceKind::File,
            state,
            waits: Vec::new(),
        }
    }

    /// Until nothing more comes.
    pub async fn all(mut self, mut events: Receiver<Event>) {
        let mut some = Vec::new();
        while events.recv_many(&mut some, MOST).await > 0 {
            for event in some.drain(..) {
                match event {
                    Event::Heard(heard) => self.hear(heard),
                    Event::Trouble(trouble) => self.trouble(&trouble),
                    Event::Place(place) => self.keep(Some(&place)).await,
                }
            }
            // A file says its place after what was read before it; others have none, and are kept as they come.
            if !self.file && !self.waits.is_empty() {
                self.keep(None).await;
            }
        }
    }

    fn hear(&mut self, heard: Heard) {
        let now = (self.clock)();
        let Heard { sample, remarks } = heard;
        // Those of before are of another firing, or of a cold kiln: what is odd about them is nobody's matter.
        if sample.at < self.started {
            self.state.change(|s| s.before += 1);
            return;
        }
        for remark in remarks.iter().filter(|r| r.withheld) {
            let (what, remedy) = remark.words(Shown::default());
            let said = Said {
                at: sample.at,
                what: format!("left out: {what}"),
                remedy: remedy.to_owned(),
            };
            self.state.change(|s| s.note(said));
        }
        let ahead = sample.at.duration_since(now);
        if !self.rehearsed && ahead > AHEAD {
            let by = hours(Span::s(ahead.as_secs_f64()));
            let said = Said {
                at: now,
                what: format!("a reading is {by} ahead of the clock here; such are left out"),
                remedy: "Set the logger's clock, or the time zone of its times, and store the source again: its file is then read anew".to_owned(),
            };
            self.state.change(|s| s.trouble = Some(said));
            return;
        }
        let empty = sample.sensor.is_none()
            && sample.set_point.is_none()
            && sample.duty.is_none()
            && sample.meter.is_none()
            && sample.others.is_empty();
        if !empty {
            self.waits.push(sample);
        }
    }

    fn trouble(&self, trouble: &Trouble) {
        let (what, remedy) = trouble.kind.words();
        let said = Said {
            at: trouble.at,
            what,
            remedy: remedy.to_owned(),
        };
        tracing::info!(firing = self.firing, what = said.what, "of a source");
        self.state.change(|s| match &trouble.kind {
            TroubleKind::Listening | TroubleKind::HeardAgain => s.trouble = None,
            TroubleKind::Silent { .. }
            | TroubleKind::Unreachable { .. }
            | TroubleKind::NoFile
            | TroubleKind::Barred { .. } => {
                // Silence says less than why nothing can be heard.
                let known =
                    s.trouble.is_some() && matches!(trouble.kind, TroubleKind::Silent { .. });
                if !known {
                    s.trouble = Some(said);
                }
            }
            // A file whose first rows cannot be read is mostly one whose columns are not those that were set.
            TroubleKind::Misread { .. } if s.taken == 0 && s.last.is_none() => {
                s.trouble = Some(said)
            }
            _ => s.note(said),
        });
        self.desk.tell_heard(&self.firing);
    }

    /// Keeps what waits. A book that cannot be written just now is tried again: nothing more is taken meanwhile, and so
    /// nothing is lost.
    async fn keep(&mut self, place: Option<&Place>) {
        let place = match place.map(serde_json::to_string).transpose() {
            Ok(place) => place,
            Err(e) => {
                tracing::error!(error = %e, "a place in a file cannot be kept");
                None
            }
        };
        let mark = place.as_deref().map(|place| Mark {
            source: &self.mark,
            place,
        });
        let mut rest_s = REST.0;
        let new = loop {
            let now = (self.clock)();
            let kept = self
                .desk
                .keep_samples(&self.firing, &self.waits, mark, now)
                .await;
            match kept {
                Ok(new) => break new,
                Err(e) => {
                    tracing::warn!(error = %e, firing = self.firing, "readings wait to be kept");
                    let said = Said {
                        at: now,
                        what: format!("readings cannot be kept just now: {e}"),
                        remedy: "Nothing: they wait, and are kept once the book can be written"
                            .to_owned(),
                    };
                    self.state.change(|s| s.trouble = Some(said));
                    tokio::time::sleep(Duration::from_secs(rest_s)).await;
                    rest_s = (rest_s * 2).min(REST.1);
                }
            }
        };
        let Some(last) = self.waits.last().map(|s| s.at) else {
            return;
        };
        self.waits.clear();
        self.state.change(|s| {
            s.taken += new;
            s.last = Some(last);
            s.trouble = None;
        });
        self.desk.tell_heard(&self.firing);
    }
}
