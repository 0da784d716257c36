//! From a proposal to an accepted firing.

use glost_check::judge;
use glost_model::Temperature;
use glost_model::book::{Act, Firing, FiringState, State, Summary, Ware, Wished};
use glost_model::cone::Cone;
use glost_model::furniture::ShelfSpan;
use glost_model::load::FiringKind;
use glost_model::plan_file::PlanFile;
use glost_store::{Kept, Look, Order};
use jiff::Timestamp;

use super::words::{MOST_FIRING_NOTE, words};
use super::{Actor, Desk, DeskError};

/// Under this kind plans are kept among the long texts.
pub const PLAN: &str = "plan";

/// What a new firing is asked for.
#[derive(Debug, Clone)]
pub struct NewFiring {
    /// Kiln.
    pub kiln: String,
    /// Cone.
    pub cone: Cone,
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// When it is to start, if that is known.
    pub starts: Option<Timestamp>,
    /// What is wished of it.
    pub wished: Wished,
}

impl Desk {
    /// Opens a draft with the next number.
    ///
    /// # Errors
    /// [`DeskError::NotAllowed`], or no such kiln.
    pub async fn new_firing(&self, actor: Actor<'_>, new: &NewFiring) -> Result<Firing, DeskError> {
        actor.must(Act::Plan)?;
        let given = self.given().await?;
        let Some(kiln) = given.studio.kiln(&new.kiln) else {
            return Err(DeskError::field(
                "kiln",
                format!("there is no kiln '{}'", new.kiln),
                "Choose one of the kilns",
            ));
        };
        if new.cone > kiln.max_cone {
            return Err(DeskError::field(
                "cone",
                format!(
                    "{} is rated to cone {}; cone {} is hotter",
                    kiln.name, kiln.max_cone, new.cone
                ),
                "Choose a cooler cone or another kiln",
            ));
        }
        let mut turn = self
            .store
            .turn(
                actor.by(),
                &format!("begin a plan for {} cone {}", new.kiln, new.cone),
            )
            .await?;
        let number = turn.next_number("firing").await?;
        let id = format!("{number:04}");
        let by = actor.person.id.clone();
        let firing = Firing {
            starts: new.starts,
            wished: new.wished.clone(),
            ..Firing::new(id, new.kiln.clone(), new.cone, new.kind, by)
        };
        turn.add(&firing).await?;
        turn.commit().await?;
        Ok(firing)
    }

    /// A firing.
    ///
    /// # Errors
    /// When there is none.
    pub async fn firing(&self, id: &str) -> Result<Kept<Firing>, DeskError> {
        Ok(self.store.get::<Firing>(id).await?)
    }

    /// Firings in these states, the latest first.
    ///
    /// # Errors
    /// Of the store.
    pub async fn firings(
        &self,
        states: &[&str],
        words: Option<&str>,
        skip: u32,
        most: u32,
    ) -> Result<Vec<Kept<Firing>>, DeskError> {
        let look = Look {
            states,
            words,
            order: Order::Last,
            skip,
            most,
            ..Look::default()
        };
        Ok(self.store.list::<Firing>(&look).await?)
    }

    /// The plan of a firing, once there is one.
    ///
    /// # Errors
    /// Of the store, or when it cannot be read.
    pub async fn plan(&self, id: &str) -> Result<Option<PlanFile>, DeskError> {
        let Some(text) = self.store.paper(PLAN, id).await? else {
            return Ok(None);
        };
        tokio::task::block_in_place(|| PlanFile::read(&text, &format!("plan of firing {id}")))
            .map(Some)
            .map_err(|f| DeskError::Faults(vec![f]))
    }

    /// Keeps a plan for a draft, in place of the one that it had.
    ///
    /// # Errors
    /// When the firing is no draft any more, or the plan is not fit for the disk.
    pub async fn keep_plan(
        &self,
        actor: Actor<'_>,
        id: &str,
        plan: &PlanFile,
        verb: &str,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Plan)?;
        let timed = self.timed(actor, id, plan).await?;
        let json = plan
            .to_json()
            .map_err(|e| DeskError::Machine(format!("the plan cannot be written: {e}")))?;
        let mut turn = self.store.turn(actor.by(), &format!("{verb} {id}")).await?;
        let kept = turn.get::<Firing>(id).await?;
        let mut firing = kept.body;
        if firing.state != FiringState::Draft {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", firing.state.words()),
                "Only a draft can be planned anew; change it at the kiln instead",
            ));
        }
        firing.summary = summary(plan);
        firing.cone_tiers = cone_tiers(plan);
        timed.put(&mut firing);
        turn.put(&firing, kept.version).await?;
        turn.write_paper(PLAN, id, &json).await?;
        // What was done by hand was done to the plan before.
        turn.write_paper(super::bench::BENCH, id, "").await?;
        Ok(turn.commit().await?)
    }

    /// Accepts a draft: its ware is kept for it. The judge looks at the load once more, with the ware as it is now.
    ///
    /// # Errors
    /// [`DeskError::Cannot`] naming the pieces that are no longer free or the first rule that the load breaks.
    pub async fn accept(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        starts: Option<Timestamp>,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Accept)?;
        let plan = self.plan(id).await?.ok_or_else(no_plan)?;
        let given = self.given().await?;
        let mut turn = self
            .store
            .turn(actor.by(), &format!("accept firing {id}"))
            .await?;
        let mut firing = turn.seen::<Firing>(id, version).await?;
        if firing.state != FiringState::Draft {
            return Err(DeskError::cannot(
                format!("firing {id} is {} already", firing.state.words()),
                "Open it",
            ));
        }
        let mut studio = plan.studio.clone();
        studio.kilns.clone_from(&given.studio.kilns);
        studio.furniture.clone_from(&given.studio.furniture);
        studio.pieces.clear();
        let mut gone = Vec::new();
        for (tier, placed) in plan.load.placed() {
            let Ok(kept) = turn.get::<Ware>(&placed.piece).await else {
                gone.push(placed.piece.clone());
                continue;
            };
            let mut ware = kept.body;
            if ware.state != State::Waiting {
                gone.push(format!("{} ({})", placed.piece, ware.state.words()));
                continue;
            }
            studio.pieces.push(ware.piece.clone());
            ware.set(State::Planned, actor.at);
            ware.firing = Some(id.to_owned());
            ware.stood.push(glost_model::book::ware::Spot {
                firing: id.to_owned(),
                tier: tier.name.clone(),
            });
            turn.put(&ware, kept.version).await?;
        }
        if studio.pieces.is_empty() && gone.is_empty() {
            return Err(DeskError::cannot(
                "the load is empty",
                "Plan it again when ware waits",
            ));
        }
        if !gone.is_empty() {
            return Err(DeskError::cannot(
                format!("of this load these wait no longer: {}", gone.join(", ")),
                "Plan it again",
            ));
        }
        studio.pieces.extend(
            plan.studio
                .pieces
                .iter()
                .filter(|p| plan.load.left_out.iter().any(|l| l.piece == p.id))
                .cloned(),
        );
        let load = plan.load.clone();
        let book = given.book.clone();
        let breaches = tokio::task::spawn_blocking(move || judge(&studio, &book, &load))
            .await
            .map_err(|e| DeskError::Machine(e.to_string()))?;
        if let Some(first) = breaches.first() {
            return Err(DeskError::cannot(
                format!(
                    "the load breaks {} rules as things stand now; the first: {first}",
                    breaches.len()
                ),
                "Ware, kiln or furniture was changed since it was planned: plan it again",
            ));
        }
        firing.state = FiringState::Accepted;
        firing.starts = starts.or(firing.starts);
        turn.put(&firing, version).await?;
        Ok(turn.commit().await?)
    }

    /// Calls a firing off before it was started: its ware waits again.
    ///
    /// # Errors
    /// When it is on already.
    pub async fn call_off(
        &self,
        actor: Actor<'_>,
        id: &str,
        version: i64,
        why: &str,
    ) -> Result<i64, DeskError> {
        actor.must(Act::Plan)?;
        let why = words("why", why, MOST_FIRING_NOTE)?;
        let mut turn = self
            .store
            .turn(actor.by(), &format!("call firing {id} off"))
            .await?;
        let mut firing = turn.seen::<Firing>(id, version).await?;
        if !matches!(
            firing.state,
            FiringState::Draft | FiringState::Accepted | FiringState::Loading
        ) {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", firing.state.words()),
                "End it instead",
            ));
        }
        for ware in self.in_firing(id).await? {
            let kept = turn.get::<Ware>(ware.body.code()).await?;
            let mut ware = kept.body;
            if ware.state == State::Planned {
                back_to_waiting(&mut ware, id, actor.at);
                turn.put(&ware, kept.version).await?;
            }
        }
        firing.state = FiringState::CalledOff;
        if !why.is_empty() {
            firing.notes.push(super::fire::note(actor, &why));
        }
        turn.put(&firing, version).await?;
        Ok(turn.commit().await?)
    }

    /// The ware that is in a firing, or was in it last.
    ///
    /// # Errors
    /// Of the store.
    pub async fn in_firing(&self, id: &str) -> Result<Vec<Kept<Ware>>, DeskError> {
        let look = Look {
            link: Some(id),
            ..Look::default()
        };
        Ok(self.store.list::<Ware>(&look).await?)
    }
}

/// A piece that does not go after all.
pub(super) fn back_to_waiting(ware: &mut Ware, firing: &str, at: Timestamp) {
    ware.set(State::Waiting, at);
    ware.firing = None;
    ware.stood.retain(|s| s.firing != firing);
}

pub(super) fn no_plan() -> DeskError {
    DeskError::cannot("there is no plan yet", "Plan the firing first")
}

fn cone_tiers(plan: &PlanFile) -> Vec<String> {
    let with = plan.load.tiers.iter().filter(|t| !t.cone_packs.is_empty());
    with.map(|t| t.name.clone()).collect()
}

/// A plan in a few numbers.
pub fn summary(plan: &PlanFile) -> Summary {
    let load = &plan.load;
    let whole = |name: &str| {
        let shelf = plan
            .studio
            .furniture
            .shelves
            .iter()
            .find(|s| s.name == name)?;
        let area = shelf.shape.area().to_m2();
        Some(if shelf.span == ShelfSpan::Half {
            area / 2.0
        } else {
            area
        })
    };
    let shelves: f64 = load.tiers.iter().filter_map(|t| whole(&t.shelf)).sum();
    let covered: f64 = load
        .placed()
        .filter(|(_, p)| p.on.is_none())
        .filter_map(|(_, p)| plan.studio.piece(&p.piece))
        .map(|p| p.widest.area().to_m2())
        .sum();
    let forecast = plan.forecast.as_ref();
    Summary {
        pieces: load.placed().count() as u32,
        tiers: load.tiers.len() as u32,
        value: load.worth.value,
        at_most: load.worth.at_most,
        fill: if shelves > 0.0 {
            covered / shelves
        } else {
            0.0
        },
        covered_m2: glost_model::Area::m2(covered),
        takes_s: forecast.map(|f| f.firing_s),
        open_after_s: forecast.and_then(|f| f.may_open()).and_then(|c| c.time_s),
        energy_j: forecast.map(|f| f.energy_j),
        cost_cents: forecast.map(|f| f.cost_cents),
        hot_s: forecast.map(|f| f.above(Temperature::c(1100.0))),
    }
}
