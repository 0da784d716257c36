//! Another programme than was planned, set on purpose: the plan takes it over, so that forecast, watch and calendar go by
//! what the controller does.

use glost_model::book::{Act, Firing, FiringState};
use glost_model::firing::Segment;
use glost_model::plan_file::PlanFile;

use super::fire::note;
use super::firing::{PLAN, no_plan, summary};
use super::words::{MOST_FIRING_NOTE, words};
use super::{Actor, Desk, DeskError};
use crate::foresee::foresee_own;
use crate::programme::told;

impl Desk {
    /// Takes over the programme that was read off the display. It counts as read back; `alone` says by who had set it.
    ///
    /// # Errors
    /// When there is no load, or its kiln has done with it; a fault of `rate.0` when it cannot be foreseen.
    pub async fn follow_own(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        segments: Vec<Segment>,
        why: &str,
        alone: bool,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let why = words("differs", why, MOST_FIRING_NOTE)?;
        let before = self.firing(id).await?.body.state;
        may_follow(id, before)?;
        let plan = self.plan(id).await?.ok_or_else(no_plan)?;
        let shown = match actor.person.shown {
            Some(own) => own,
            None => self.given().await?.studio.shown,
        };
        let said = told(&segments, shown);
        let on = before == FiringState::Firing;
        let work = move || foreseen(plan, segments, on);
        let plan = tokio::task::spawn_blocking(work)
            .await
            .map_err(|e| DeskError::Machine(e.to_string()))??;
        let json = plan
            .to_json()
            .map_err(|e| DeskError::Machine(format!("the plan cannot be written: {e}")))?;
        let verb = format!("firing {id}: follow another programme");
        let mut turn = self.store.turn(actor.by(), &verb).await?;
        let mut firing = turn.seen::<Firing>(id, version).await?;
        may_follow(id, firing.state)?;
        firing.summary = summary(&plan);
        firing.programmes += 1;
        firing.read_back = Some(note(
            actor,
            "another programme, on purpose, which is followed",
        ));
        firing.read_alone = alone;
        let because = if why.is_empty() {
            String::new()
        } else {
            format!(". {why}")
        };
        firing.notes.push(note(
            actor,
            &format!("the programme is now {said}{because}"),
        ));
        turn.put(&firing, version).await?;
        turn.write_paper(PLAN, id, &json).await?;
        let turn = turn.commit().await?;
        // Who follows it begins anew.
        self.tell_heard(id);
        Ok(turn)
    }
}

fn may_follow(id: &str, state: FiringState) -> Result<(), DeskError> {
    if matches!(
        state,
        FiringState::Accepted | FiringState::Loading | FiringState::Firing
    ) {
        return Ok(());
    }
    Err(DeskError::cannot(
        format!("firing {id} is {}", state.words()),
        "A programme is set before a firing or while it is on",
    ))
}

/// The plan with another programme. Steps by hand of a kiln that is on stay as they are numbered.
fn foreseen(mut plan: PlanFile, segments: Vec<Segment>, on: bool) -> Result<PlanFile, DeskError> {
    let steps = plan.firing.as_ref().map(|f| f.hand_steps.clone());
    foresee_own(&mut plan, segments).map_err(|e| {
        DeskError::field(
            "rate.0",
            format!("this programme cannot be foreseen: {e}"),
            "Look at each number, or tell in words what differs",
        )
    })?;
    if let (true, Some(steps), Some(firing)) = (on, steps, plan.firing.as_mut()) {
        firing.hand_steps = steps;
    }
    Ok(plan)
}
