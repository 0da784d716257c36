//! At the kiln: ticks, and what is not here or does not fit.

use std::collections::BTreeMap;

use glost_model::book::{Act, Firing, FiringState, Note, State, Ware};
use glost_model::firing::Segment;
use glost_model::plan_file::PlanFile;
use glost_model::{Rate, Span, Temperature};
use glost_placing::{Change, PlanAsk};
use jiff::Timestamp;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::firing::{PLAN, back_to_waiting, no_plan, summary};
use super::{Actor, Desk, DeskError};
use crate::{change, foresee};

/// Under this kind ticks are kept among the long texts.
const TICKS: &str = "ticks";
/// Most ticks of a firing.
const MOST: usize = 5_000;

/// A tick on the load sheet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Tick {
    /// Done, or taken back.
    pub done: bool,
    /// When it was set at the kiln, by the phone's clock.
    pub at: Timestamp,
    /// Who set it.
    #[serde(default)]
    pub who: String,
}

/// Ticks by what they are for.
pub type Ticks = BTreeMap<String, Tick>;

/// Why a piece does not go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Missing {
    /// Nobody finds it.
    NotHere,
    /// It is here and does not fit where the plan has it.
    DoesNotFit,
}

impl Desk {
    /// Begins to load an accepted firing.
    ///
    /// # Errors
    /// When it is not accepted, or its kiln is being fired.
    pub async fn begin_loading(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let mut turn = self
            .store
            .turn(actor.by(), &format!("begin to load firing {id}"))
            .await?;
        let mut firing = turn.seen::<Firing>(id, version).await?;
        if firing.state != FiringState::Accepted {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", firing.state.words()),
                "Accept its plan first",
            ));
        }
        self.kiln_is_free(&firing).await?;
        firing.state = FiringState::Loading;
        firing.loaded_by = Some(actor.person.id.clone());
        turn.put(&firing, version).await?;
        Ok(turn.commit().await?)
    }

    /// Another firing that has the kiln.
    pub(super) async fn kiln_is_free(&self, firing: &Firing) -> Result<(), DeskError> {
        let busy = [
            FiringState::Loading,
            FiringState::Firing,
            FiringState::Cooling,
            FiringState::Opened,
        ]
        .map(FiringState::key);
        let others = self.firings(&busy, None, 0, 0).await?;
        match others
            .iter()
            .find(|o| o.body.kiln == firing.kiln && o.body.id != firing.id)
        {
            Some(o) => Err(DeskError::cannot(
                format!(
                    "kiln {} has firing {}, which is {}",
                    firing.kiln,
                    o.body.id,
                    o.body.state.words()
                ),
                "Finish that firing first",
            )),
            None => Ok(()),
        }
    }

    /// Pieces of a load that are ticked as loaded, and all of them.
    ///
    /// # Errors
    /// Of the store.
    pub async fn loaded(&self, id: &str) -> Result<(u32, u32), DeskError> {
        let all = self.firing(id).await?.body.summary.pieces;
        let ticks = self.ticks(id).await?;
        let pieces = ticks
            .iter()
            .filter(|(k, t)| t.done && k.starts_with("piece/"))
            .count();
        Ok((u32::try_from(pieces).unwrap_or(u32::MAX).min(all), all))
    }

    /// The ticks of a firing.
    ///
    /// # Errors
    /// Of the store.
    pub async fn ticks(&self, id: &str) -> Result<Ticks, DeskError> {
        let text = self
            .store
            .paper(TICKS, id)
            .await?
            .unwrap_or_else(|| "{}".to_owned());
        serde_json::from_str(&text).map_err(|e| {
            DeskError::Machine(format!("the ticks of firing {id} cannot be read: {e}"))
        })
    }

    /// Takes ticks in that were set at the kiln, also some time ago without a network. Of two for one thing the later
    /// counts, whichever came first. Answers all of them.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`].
    pub async fn set_ticks(
        &self,
        actor: Actor<'_>,
        id: &str,
        ticks: Ticks,
    ) -> Result<Ticks, DeskError> {
        actor.must(Act::Fire)?;
        if ticks.len() > MOST || ticks.keys().any(|k| k.len() > 80) {
            return Err(DeskError::cannot(
                "there are more ticks than a load has",
                "Load the page again",
            ));
        }
        let mut turn = self
            .store
            .turn(actor.by(), &format!("tick off firing {id}"))
            .await?;
        // Holds the firing, so that two phones do not overwrite one another.
        turn.get::<Firing>(id).await?;
        let mut all = self.ticks(id).await?;
        for (key, mut tick) in ticks {
            // A phone whose clock runs ahead must not win for ever.
            tick.at = tick.at.min(actor.at);
            tick.who.clone_from(&actor.person.id);
            if all.get(&key).is_none_or(|old| old.at <= tick.at) {
                all.insert(key, tick);
            }
        }
        let text = serde_json::to_string(&all).map_err(|e| DeskError::Machine(e.to_string()))?;
        turn.write_paper(TICKS, id, &text).await?;
        turn.commit().await?;
        Ok(all)
    }

    /// Says at the kiln that pieces are not here or do not fit; the rest is replanned with as few changes as can be,
    /// and forecast anew. Pieces that are ticked off stay where they stand.
    ///
    /// # Errors
    /// When the load cannot be changed so; nothing is changed then.
    pub async fn leave_out(
        &self,
        actor: Actor<'_>,
        id: &str,
        pieces: &[String],
        why: Missing,
        today: Date,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Fire)?;
        let kept = self.firing(id).await?;
        if !matches!(
            kept.body.state,
            FiringState::Accepted | FiringState::Loading
        ) {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", kept.body.state.words()),
                "Only a load that is not fired yet can change",
            ));
        }
        let plan = self.plan(id).await?.ok_or_else(no_plan)?;
        let was = plan.firing.as_ref().map(|f| f.segments.clone());
        let ticks = self.ticks(id).await?;
        let standing = plan.load.placed().map(|(_, p)| p.piece.clone());
        let standing = standing.filter(|p| {
            ticks.get(&format!("piece/{p}")).is_some_and(|t| t.done) && !pieces.contains(p)
        });
        let asked = Change {
            absent: pieces.to_vec(),
            keep: standing.collect(),
            ..Change::default()
        };
        let given = self.given().await?;
        let new = tokio::task::spawn_blocking(move || replanned(plan, &asked, &given.book, today))
            .await
            .map_err(|e| DeskError::Machine(e.to_string()))??;
        let json = new
            .to_json()
            .map_err(|e| DeskError::Machine(e.to_string()))?;
        let word = match why {
            Missing::NotHere => "was not found when the kiln was loaded",
            Missing::DoesNotFit => "did not fit in its place when the kiln was loaded",
        };
        let mut turn = self
            .store
            .turn(
                actor.by(),
                &format!("firing {id}: {} {word}", pieces.join(", ")),
            )
            .await?;
        let mut firing = turn.get::<Firing>(id).await?.body;
        let stays: BTreeMap<&str, &str> = new
            .load
            .placed()
            .map(|(t, p)| (p.piece.as_str(), t.name.as_str()))
            .collect();
        for ware in self.in_firing(id).await? {
            let kept = turn.get::<Ware>(ware.body.code()).await?;
            let mut ware = kept.body;
            match stays.get(ware.code()) {
                Some(tier) => {
                    let moved = ware
                        .stood
                        .iter_mut()
                        .rev()
                        .find(|s| s.firing == id && s.tier != **tier);
                    let Some(spot) = moved else { continue };
                    (*tier).clone_into(&mut spot.tier);
                }
                None => {
                    back_to_waiting(&mut ware, id, actor.at);
                    if pieces.contains(&ware.piece.id) {
                        word.clone_into(&mut ware.note);
                        if why == Missing::NotHere {
                            ware.set(State::NeedsAttention, actor.at);
                        }
                    }
                }
            }
            turn.put(&ware, kept.version).await?;
        }
        firing.summary = summary(&new);
        // What was read back was the programme of the load before.
        if new.firing.as_ref().map(|f| numbers(&f.segments)) != was.as_deref().map(numbers) {
            firing.read_back = None;
            firing.read_alone = false;
        }
        firing.notes.push(Note {
            at: actor.at,
            who: actor.person.id.clone(),
            words: format!("{} {word}; the load was planned anew", pieces.join(", ")),
        });
        turn.put(&firing, kept.version).await?;
        turn.write_paper(PLAN, id, &json).await?;
        Ok(turn.commit().await?)
    }
}

/// What of segments is set on a controller.
fn numbers(segments: &[Segment]) -> Vec<(Option<Rate>, Temperature, Span)> {
    segments
        .iter()
        .map(|s| (s.rate, s.target, s.hold))
        .collect()
}

fn replanned(
    mut plan: PlanFile,
    asked: &Change,
    book: &glost_rules::RuleBook,
    today: Date,
) -> Result<PlanFile, DeskError> {
    let ask = PlanAsk {
        studio: &plan.studio,
        book,
        kiln: &plan.load.kiln,
        cone: plan.load.cone,
        kind: plan.load.kind,
        today,
        seed: plan.load.seed,
        rounds: 200,
        worth: None,
    };
    let changed = change(&ask, &plan.load, asked, &mut |_, _| true).map_err(|e| {
        DeskError::cannot(
            e.to_string(),
            "Take the piece out by hand and plan the load again",
        )
    })?;
    plan.load = changed.load;
    foresee(&mut plan).map_err(|e| DeskError::cannot(e.to_string(), "Plan the load again"))?;
    Ok(plan)
}
