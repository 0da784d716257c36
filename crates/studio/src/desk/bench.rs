//! A draft's load on the bench, kept between two steps.

use glost_model::book::{Act, Firing, FiringState};
use glost_store::digest;
use jiff::civil::Date;
use serde::{Deserialize, Serialize};

use super::firing::{PLAN, no_plan};
use super::{Actor, Desk, DeskError};
use crate::edit::Bench;

/// Under this kind benches are kept among the long texts.
pub(super) const BENCH: &str = "bench";

/// Why a bench is not given or kept.
#[derive(Debug, thiserror::Error)]
pub enum BenchFault {
    /// Somebody else was quicker; this is the version now.
    #[error("the load was changed by somebody else; its version is now {0}")]
    Changed(u64),
    /// The desk.
    #[error(transparent)]
    Desk(#[from] DeskError),
}

#[derive(Serialize, Deserialize)]
struct KeptBench {
    version: u64,
    bench: Bench,
}

impl Desk {
    /// The bench of a firing with its version; a new one from its plan when there is none.
    ///
    /// # Errors
    /// When there is no plan, or what is kept cannot be read.
    pub async fn bench(&self, id: &str, today: Date) -> Result<(Bench, u64), BenchFault> {
        self.firing(id).await?;
        let text = self
            .store
            .paper(BENCH, id)
            .await
            .map_err(DeskError::from)?
            .filter(|t| !t.is_empty());
        if let Some(text) = text {
            let kept: KeptBench = serde_json::from_str(&text).map_err(|e| {
                DeskError::Machine(format!("the bench of firing {id} cannot be read: {e}"))
            })?;
            return Ok((kept.bench, kept.version));
        }
        let plan = self.plan(id).await?.ok_or_else(no_plan)?;
        let bench = Bench::open(plan, today)
            .map_err(|e| DeskError::cannot(e.to_string(), "Plan the load again"))?;
        Ok((bench, self.first_version(id).await?))
    }

    /// The version of a bench on which nothing was done yet. It is another for each plan, so that what was done to one
    /// plan is not done to the next.
    async fn first_version(&self, id: &str) -> Result<u64, DeskError> {
        let plan = self.store.paper(PLAN, id).await?.unwrap_or_default();
        let head: String = digest(&plan).chars().take(8).collect();
        // Room for a million steps, and below 2^53, which scripts can count to.
        Ok(u64::from_str_radix(&head, 16).unwrap_or(0) * (1 << 20) + 1)
    }

    /// Keeps a bench that was made of version `was`.
    ///
    /// # Errors
    /// [`BenchFault::Changed`] when there is a newer one.
    pub async fn keep_bench(
        &self,
        actor: Actor<'_>,
        id: &str,
        bench: &Bench,
        was: u64,
    ) -> Result<u64, BenchFault> {
        actor.must(Act::Plan)?;
        let new = KeptBench {
            version: was + 1,
            bench: bench.clone(),
        };
        let text = serde_json::to_string(&new).map_err(|e| DeskError::Machine(e.to_string()))?;
        let verb = format!("change the load of firing {id} by hand");
        let mut turn = self
            .store
            .turn(actor.by(), &verb)
            .await
            .map_err(DeskError::from)?;
        // Holds the firing, so that of two who change it at once the second is told.
        let firing = turn.get::<Firing>(id).await.map_err(DeskError::from)?.body;
        if firing.state != FiringState::Draft {
            return Err(DeskError::cannot(
                format!("firing {id} is {}", firing.state.words()),
                "Only a draft is changed by hand",
            )
            .into());
        }
        let now = self
            .store
            .paper(BENCH, id)
            .await
            .map_err(DeskError::from)?
            .filter(|t| !t.is_empty());
        let now = match now.and_then(|t| serde_json::from_str::<Version>(&t).ok()) {
            Some(v) => v.version,
            None => self.first_version(id).await?,
        };
        if now != was {
            return Err(BenchFault::Changed(now));
        }
        turn.write_paper(BENCH, id, &text)
            .await
            .map_err(DeskError::from)?;
        turn.commit().await.map_err(DeskError::from)?;
        Ok(new.version)
    }
}

#[derive(Deserialize)]
struct Version {
    version: u64,
}
