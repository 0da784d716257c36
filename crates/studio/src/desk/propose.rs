//! Proposals: one firing, or all waiting ware over kilns and days. Long work without the store, for a thread of its own.

use glost_model::book::Firing;
use glost_model::cone::Cone;
use glost_model::plan_file::PlanFile;
use glost_model::studio::Studio;
use glost_placing::PlanAsk;
use glost_placing::backlog::{Aim, BacklogAsk};
use glost_rules::RuleBook;
use jiff::ZonedDateTime;
use jiff::civil::Date;

use super::wishes::{for_planner, start_counts};
use super::{Actor, Desk, DeskError, NewFiring};
use crate::{Firings, Growing, foresee_for, propose_firings, propose_shown};

/// How long to seek.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effort {
    /// Seconds.
    Short,
    /// Half a minute.
    Usual,
    /// Minutes.
    Long,
}

impl Effort {
    fn rounds(self) -> u32 {
        match self {
            Self::Short => 60,
            Self::Usual => 400,
            Self::Long => 2_000,
        }
    }
}

/// What hears how far it is (in words, share done, value so far), and stops it by answering false.
pub type Watch<'a> = &'a dyn Fn(&str, f64, f64) -> bool;

/// Plans the load and the firing of a draft from the ware of the studio.
///
/// # Errors
/// Why there is no load. A load without a firing is none.
pub fn plan_draft(
    studio: Studio,
    book: &RuleBook,
    firing: &Firing,
    today: Date,
    seed: u64,
    effort: Effort,
    watch: Watch<'_>,
) -> Result<PlanFile, DeskError> {
    let watch = |phase: &str, g: &Growing<'_>| watch(phase, g.share, g.value);
    plan_draft_shown(studio, book, firing, today, seed, effort, &watch)
}

/// The same for one who wants to see the load as it grows.
///
/// # Errors
/// As [`plan_draft`].
pub fn plan_draft_shown(
    studio: Studio,
    book: &RuleBook,
    firing: &Firing,
    today: Date,
    seed: u64,
    effort: Effort,
    watch: &dyn Fn(&str, &Growing<'_>) -> bool,
) -> Result<PlanFile, DeskError> {
    let ask = PlanAsk {
        studio: &studio,
        book,
        kiln: &firing.kiln,
        cone: firing.cone,
        kind: firing.kind,
        today,
        seed,
        rounds: effort.rounds(),
        worth: None,
    };
    let load = propose_shown(&ask, &mut |g| {
        let share = g.share * 0.9;
        watch("placing the ware", &Growing { share, ..*g })
    })
    .map_err(|e| DeskError::cannot(e.to_string(), "Look at the kiln and the furniture"))?
    .load;
    let tiers = || load.tiers.clone();
    let placed = Growing {
        share: 0.92,
        value: load.worth.value,
        at_most: Some(load.worth.at_most),
        so_far: Some(&tiers),
    };
    watch("planning the firing", &placed);
    let mut plan = PlanFile::new(studio, load);
    let rounds = if start_counts(firing, &plan) && firing.wished.by.is_some() {
        // The first forecast tells how long it takes, and so at which hours it draws.
        2
    } else {
        1
    };
    for _ in 0..rounds {
        let wishes = for_planner(firing, &plan);
        if let Err(e) = foresee_for(&mut plan, &wishes) {
            tracing::warn!(error = %e, firing = firing.id, "no firing could be planned for a load");
        }
    }
    Ok(plan)
}

/// Deals all waiting ware out over the studio's kilns from now on.
///
/// # Errors
/// Why nothing can be planned.
pub fn plan_all(
    studio: &Studio,
    book: &RuleBook,
    from: &ZonedDateTime,
    cheapest: bool,
    watch: Watch<'_>,
) -> Result<Firings, DeskError> {
    let kilns: Vec<String> = studio.kilns.iter().map(|k| k.name.clone()).collect();
    let bisque = Cone::parse("06").map_err(|e| DeskError::Machine(e.to_string()))?;
    let ask = BacklogAsk {
        studio,
        book,
        kilns: &kilns,
        from,
        aim: if cheapest { Aim::Cheapest } else { Aim::Fewest },
        bisque,
        seed: 1,
        rounds: 12,
    };
    propose_firings(&ask, &mut |share, firings| {
        watch(
            "dealing ware out over kilns and days",
            share,
            firings as f64,
        )
    })
    .map_err(|e| DeskError::cannot(e.to_string(), "Look at the ware that waits"))
}

impl Desk {
    /// Keeps proposed firings as drafts, each with its plan.
    ///
    /// # Errors
    /// Of the store.
    pub async fn keep_drafts(&self, actor: Actor<'_>, made: &Firings) -> Result<(), DeskError> {
        for ready in &made.firings {
            let load = &ready.file.load;
            let new = NewFiring {
                kiln: load.kiln.clone(),
                cone: load.cone,
                kind: load.kind,
                starts: Some(ready.times.start.timestamp()),
                wished: glost_model::book::Wished::default(),
            };
            let firing = self.new_firing(actor, &new).await?;
            self.keep_plan(actor, &firing.id, &ready.file, "plan firing")
                .await?;
        }
        Ok(())
    }
}
