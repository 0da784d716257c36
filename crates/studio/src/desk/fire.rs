//! The day of the firing. People fire; the book only writes down what they did.

use glost_model::Energy;
use glost_model::book::{Act, Firing, FiringState, Note, Role, State, Ware};
use jiff::{SignedDuration, Timestamp};

use super::words::{MOST_FIRING_NOTE, words};
use super::{Actor, Desk, DeskError};

/// A note by somebody, now.
pub(super) fn note(actor: Actor<'_>, words: &str) -> Note {
    Note {
        at: actor.at,
        who: actor.person.id.clone(),
        words: words.to_owned(),
    }
}

/// A clock may run ahead by this.
const AHEAD: SignedDuration = SignedDuration::from_mins(1);
/// No controller waits longer than this.
const MOST_DELAY: SignedDuration = SignedDuration::from_hours(72);

/// When something was done that is written down now: at the time that is told, if one is.
///
/// # Errors
/// A fault of `at` for a time still to come.
pub(super) fn done_at(actor: Actor<'_>, told: Option<Timestamp>) -> Result<Timestamp, DeskError> {
    let at = told.unwrap_or(actor.at);
    if at.duration_since(actor.at) > AHEAD {
        return Err(DeskError::field(
            "at",
            "this is still to come",
            "Write when it was done; leave it empty for now",
        ));
    }
    Ok(at)
}

/// How a kiln is switched on.
#[derive(Debug, Clone, Default)]
pub struct Start {
    /// What the meter shows.
    pub meter: Option<Energy>,
    /// Who may stop it besides a technician and who starts it.
    pub may_stop: Vec<String>,
    /// Somebody looked into the kiln, whatever is ticked.
    pub looked: bool,
    /// When, if not now.
    pub at: Option<Timestamp>,
    /// When its controller begins, if it waits.
    pub begins: Option<Timestamp>,
}

/// How a kiln went off.
#[derive(Debug, Clone, Copy, Default)]
pub struct End<'a> {
    /// What the meter shows.
    pub meter: Option<Energy>,
    /// Hottest that the display showed, °C.
    pub hottest_c: Option<f64>,
    /// How it ended, or why somebody stopped it.
    pub why: &'a str,
    /// When, if not now.
    pub at: Option<Timestamp>,
}

impl Desk {
    /// Writes down that a second look at the programme found it as planned, or that it `differs` on purpose and how.
    /// Either way somebody has read it; `alone` says that it is who had set it.
    ///
    /// # Errors
    /// A fault of `differs` when there is no programme in the plan and none is told.
    pub async fn read_back(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        differs: &str,
        alone: bool,
    ) -> Result<i64, DeskError> {
        let planned = self.plan(id).await?.is_some_and(|p| p.firing.is_some());
        self.write(actor, id, version, "read the programme back", |firing| {
            let differs = words("differs", differs, MOST_FIRING_NOTE)?;
            let said = match (planned, differs.is_empty()) {
                (true, true) => "as planned".to_owned(),
                (true, false) => format!("differs on purpose: {differs}"),
                (false, false) => differs.clone(),
                (false, true) => {
                    return Err(DeskError::field(
                        "differs",
                        "there is no plan of this firing, and no programme is told",
                        "Write each segment as it stands on the display: rate, target, hold",
                    ));
                }
            };
            if !differs.is_empty() {
                let what = if planned {
                    "the programme on the controller differs on purpose"
                } else {
                    "the programme on the controller"
                };
                firing
                    .notes
                    .push(note(actor, &format!("{what}: {differs}")));
            }
            firing.read_back = Some(note(actor, &said));
            firing.read_alone = alone;
            Ok(())
        })
        .await
    }

    /// Takes the word back that the programme was read as planned, since somebody has read something else.
    ///
    /// # Errors
    /// As [`Self::read_back`].
    pub async fn read_otherwise(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
    ) -> Result<i64, DeskError> {
        self.write(
            actor,
            id,
            version,
            "read the programme otherwise",
            |firing| {
                firing.read_back = None;
                firing.read_alone = false;
                Ok(())
            },
        )
        .await
    }

    /// Writes down that the kiln was switched on. One whose controller waits counts from when it begins: its watch, its
    /// calendar and what is learnt of it.
    ///
    /// # Errors
    /// When the load is not there, nobody read the programme back, or the kiln has another firing. Pieces that are not
    /// ticked are a fault of `loaded`, unless somebody `looked`; times that cannot be, of `at` and `begins`.
    pub async fn start(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        start: Start,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let at = done_at(actor, start.at)?;
        if let Some(begins) = start.begins {
            let waits = begins.duration_since(at);
            if waits <= SignedDuration::ZERO || waits > MOST_DELAY {
                return Err(DeskError::field(
                    "begins",
                    "a controller that waits begins after it is switched on, within three days",
                    "Write when the controller begins; leave it empty when it begins at once",
                ));
            }
        }
        let (ticked, all) = self.loaded(id).await?;
        let mut turn = self
            .store
            .turn(actor.by(), &format!("start firing {id}"))
            .await?;
        let mut firing = turn.seen::<Firing>(id, version).await?;
        if !matches!(firing.state, FiringState::Accepted | FiringState::Loading) {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", firing.state.words()),
                "Look at it again",
            ));
        }
        self.kiln_is_free(&firing).await?;
        if firing.read_back.is_none() {
            return Err(DeskError::cannot(
                "nobody has read the programme back from the controller",
                "Read every segment off the display and compare it; 06 and 6 are some 220 °C (400 °F) apart",
            ));
        }
        if ticked < all && !start.looked {
            return Err(DeskError::field(
                "loaded",
                format!("{ticked} of {all} pieces are ticked on the load sheet"),
                "Look into the kiln and tick what stands there, or say that you looked",
            ));
        }
        firing.state = FiringState::Firing;
        firing.started = Some(start.begins.unwrap_or(at));
        firing.set_going = start.begins.map(|_| at);
        firing.started_by = Some(actor.person.id.clone());
        firing.loaded_by = firing.loaded_by.or_else(|| Some(actor.person.id.clone()));
        firing.meter_start = start.meter;
        firing.may_stop = start.may_stop;
        for ware in self.in_firing(id).await? {
            let kept = turn.get::<Ware>(ware.body.code()).await?;
            let mut ware = kept.body;
            if ware.state == State::Planned {
                ware.set(State::InKiln, at);
                turn.put(&ware, kept.version).await?;
            }
        }
        turn.put(&firing, version).await?;
        Ok(turn.commit().await?)
    }

    /// Ticks a step by hand off.
    ///
    /// # Errors
    /// As [`Self::add_note`].
    pub async fn step_done(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        step: usize,
    ) -> Result<i64, DeskError> {
        self.write(actor, id, version, "do a step by hand", |firing| {
            if !firing.done_steps.iter().any(|(s, _)| *s == step) {
                firing.done_steps.push((step, note(actor, "done")));
            }
            Ok(())
        })
        .await
    }

    /// Adds a note.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], an empty note, or an edit of somebody else in between.
    pub async fn add_note(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        text: &str,
    ) -> Result<i64, DeskError> {
        self.write(actor, id, version, "note", |firing| {
            let text = words("words", text, MOST_FIRING_NOTE)?;
            if text.is_empty() {
                return Err(DeskError::field(
                    "words",
                    "the note is empty",
                    "Write what you saw",
                ));
            }
            firing.notes.push(note(actor, &text));
            Ok(())
        })
        .await
    }

    /// Writes down that the kiln is off, now or since when it is told. Who may stop it is told by the firing; anybody may
    /// in danger.
    ///
    /// # Errors
    /// When it is not on; a fault of `at` for a time before its start or to come.
    pub async fn end(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        end: End<'_>,
    ) -> Result<i64, DeskError> {
        let at = done_at(actor, end.at)?;
        self.write(actor, id, version, "end", |firing| {
            if firing.state != FiringState::Firing {
                return Err(DeskError::cannot(
                    format!("firing {id} is {}", firing.state.words()),
                    "Look at it again",
                ));
            }
            let why = words("why", end.why, MOST_FIRING_NOTE)?;
            let named = firing.may_stop.contains(&actor.person.id);
            let starter = firing.started_by.as_ref() == Some(&actor.person.id);
            if actor.person.role != Role::Technician && !named && !starter && why.is_empty() {
                return Err(DeskError::field(
                    "why",
                    "this firing is not yours to stop, and no reason is given",
                    "Write why you stopped it; in danger stop first and write after",
                ));
            }
            if let (Some(before), Some(after)) = (firing.meter_start, end.meter)
                && after < before
            {
                return Err(DeskError::field(
                    "meter",
                    "the meter shows less than at the start",
                    "Read it again",
                ));
            }
            if firing.switched_on().is_some_and(|on| at < on) {
                return Err(DeskError::field(
                    "at",
                    "this is before it was switched on",
                    "Write when it went off",
                ));
            }
            let waits = firing.started.is_some_and(|begins| at <= begins);
            if waits && firing.set_going.is_some() {
                // Its controller had not begun.
                firing.started = firing.set_going.take();
                firing.notes.push(note(
                    actor,
                    "it was switched off before its controller began",
                ));
            }
            firing.state = FiringState::Cooling;
            firing.ended = Some(at);
            firing.ended_by = Some(actor.person.id.clone());
            firing.meter_end = end.meter;
            firing.hottest_c = end.hottest_c;
            if !why.is_empty() {
                firing.notes.push(note(actor, &why));
            }
            Ok(())
        })
        .await
    }

    pub(super) async fn write(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        verb: &str,
        change: impl FnOnce(&mut Firing) -> Result<(), DeskError>,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let mut turn = self
            .store
            .turn(actor.by(), &format!("firing {id}: {verb}"))
            .await?;
        let mut firing = turn.seen::<Firing>(id, version).await?;
        let was = firing.state;
        change(&mut firing)?;
        turn.put(&firing, version).await?;
        if firing.state != was {
            self.notices_moved_on(&mut turn, id, firing.state).await?;
        }
        Ok(turn.commit().await?)
    }
}
