//! Firings that nobody planned here: of the past, of an empty kiln, or a test.

use glost_model::book::{Act, Firing, FiringState, Purpose};
use glost_model::cone::Cone;
use glost_model::firing::Segment;
use glost_model::load::{FiringKind, LoadPlan, Worth};
use glost_model::plan_file::PlanFile;
use glost_model::{Energy, Temperature};
use jiff::Timestamp;

use super::fire::{done_at, note};
use super::firing::{PLAN, summary};
use super::words::{MOST_FIRING_NOTE, words};
use super::{Actor, Desk, DeskError};
use crate::foresee::foresee_own;

/// A firing as it is written down.
#[derive(Debug, Clone)]
pub struct Written {
    /// Kiln.
    pub kiln: String,
    /// Cone.
    pub cone: Cone,
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// What it was for.
    pub purpose: Purpose,
    /// Nothing stood in the kiln, no shelf either.
    pub empty: bool,
    /// Its programme, as far as it is known.
    pub segments: Vec<Segment>,
    /// When it was started.
    pub started: Timestamp,
    /// When it ended; nothing while it is on.
    pub ended: Option<Timestamp>,
    /// Hottest that the display showed.
    pub hottest: Option<Temperature>,
    /// What it used by the meter.
    pub used: Option<Energy>,
    /// In words.
    pub notes: String,
}

impl Desk {
    /// Writes down a firing that was not planned here. It counts for upkeep and stands in the log; its own log can be
    /// brought in. With a programme in an empty kiln it has a forecast and can be watched and learnt from: what the
    /// kiln held of other loads is not known.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], every fault of the form, or a kiln that has another firing while this one is on.
    pub async fn write_down(
        &self,
        actor: Actor<'_>,
        new: &Written,
    ) -> Result<(Firing, i64), DeskError> {
        actor.must(Act::Fire)?;
        let (notes, told) = match words("words", &new.notes, MOST_FIRING_NOTE) {
            Ok(notes) => (notes, Ok(())),
            Err(e) => (String::new(), Err(e)),
        };
        let in_time = |field: &str, at: Timestamp| {
            done_at(actor, Some(at)).map(drop).map_err(|_to_come| {
                DeskError::field(field, "this is still to come", "Write when it was")
            })
        };
        let order = match new.ended {
            Some(ended) if ended <= new.started => Err(DeskError::field(
                "ended",
                "this is before its start",
                "Write when it went off",
            )),
            _ => Ok(()),
        };
        let given = self.given().await?;
        let kiln = given.studio.kiln(&new.kiln);
        let fits = match kiln {
            None => Err(DeskError::field(
                "kiln",
                format!("there is no kiln '{}'", new.kiln),
                "Choose one of the kilns",
            )),
            Some(kiln) if new.cone > kiln.max_cone => Err(DeskError::field(
                "cone",
                format!(
                    "{} is rated to cone {}; cone {} is hotter",
                    kiln.name, kiln.max_cone, new.cone
                ),
                "Look whether a zero is missing",
            )),
            Some(_) => Ok(()),
        };
        DeskError::together([
            fits,
            in_time("started", new.started),
            new.ended.map_or(Ok(()), |at| in_time("ended", at)),
            order,
            told,
        ])?;
        let plan = if new.empty && !new.segments.is_empty() {
            Some(self.forecast_of(new).await?)
        } else {
            None
        };
        let verb = format!("write down a firing of {} cone {}", new.kiln, new.cone);
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        let number = turn.next_number("firing").await?;
        let by = actor.person.id.clone();
        let id = format!("{number:04}");
        let mut firing = Firing {
            state: match new.ended {
                Some(_) => FiringState::Done,
                None => FiringState::Firing,
            },
            purpose: new.purpose,
            started: Some(new.started),
            started_by: Some(by.clone()),
            ended: new.ended,
            ended_by: new.ended.map(|_| by.clone()),
            hottest_c: new.hottest.map(Temperature::to_c),
            meter_start: new.used.map(|_| Energy::ZERO),
            meter_end: new.used,
            ..Firing::new(id.clone(), new.kiln.clone(), new.cone, new.kind, by)
        };
        if new.ended.is_none() {
            self.kiln_is_free(&firing).await?;
        }
        if !notes.is_empty() {
            firing.notes.push(note(actor, &notes));
        }
        if plan.is_none() && !new.segments.is_empty() {
            let shown = actor.person.shown.unwrap_or(given.studio.shown);
            let told = crate::programme::told(&new.segments, shown);
            firing
                .notes
                .push(note(actor, &format!("programme: {told}")));
        }
        if let Some(plan) = &plan {
            firing.summary = summary(plan);
            let json = plan
                .to_json()
                .map_err(|e| DeskError::Machine(format!("the plan cannot be written: {e}")))?;
            turn.write_paper(PLAN, &id, &json).await?;
        }
        turn.add(&firing).await?;
        Ok((firing, turn.commit().await?))
    }

    /// The programme in the empty kiln, with its forecast.
    async fn forecast_of(&self, new: &Written) -> Result<PlanFile, DeskError> {
        let mut studio = self.given().await?.studio.clone();
        studio.pieces.clear();
        let load = LoadPlan {
            kiln: new.kiln.clone(),
            cone: new.cone,
            kind: new.kind,
            seed: 1,
            tiers: Vec::new(),
            left_out: Vec::new(),
            worth: Worth {
                value: 0.0,
                at_most: 0.0,
            },
        };
        let mut plan = PlanFile::new(studio, load);
        let segments = new.segments.clone();
        let work = move || {
            foresee_own(&mut plan, segments).map_err(|e| {
                DeskError::field(
                    "target.0",
                    format!("this programme cannot be foreseen: {e}"),
                    "Look at each number, or leave the programme out",
                )
            })?;
            Ok(plan)
        };
        tokio::task::spawn_blocking(work)
            .await
            .map_err(|e| DeskError::Machine(e.to_string()))?
    }
}
