//! From a question to a load plan.

use std::collections::BTreeMap;

use glost_model::cone::Cone;
use glost_model::kiln::Kiln;
use glost_model::load::{FiringKind, LoadPlan, Tier};
use glost_model::piece::PieceId;
use glost_model::studio::Studio;
use glost_rules::RuleBook;

use crate::bound::Bound;
use crate::ware::Ware;
use crate::{assemble, bound, pile, skeleton, ware};

/// What is asked of the planner.
#[derive(Debug, Clone, Copy)]
pub struct PlanAsk<'a> {
    /// The studio with its ware and furniture.
    pub studio: &'a Studio,
    /// Its rules.
    pub book: &'a RuleBook,
    /// Name of the kiln.
    pub kiln: &'a str,
    /// Cone of the firing.
    pub cone: Cone,
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// The day from which due dates count.
    pub today: jiff::civil::Date,
    /// The same seed and rounds give the same plan.
    pub seed: u64,
    /// How many improvements to try after the first complete plan.
    pub rounds: u32,
    /// What each piece is worth, by its name, where that is not left to priority and due date.
    pub worth: Option<&'a BTreeMap<PieceId, f64>>,
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PlanError {
    /// No such kiln.
    #[error("there is no kiln '{asked}'; the studio has {known}")]
    NoKiln {
        /// As asked.
        asked: String,
        /// Those there are.
        known: String,
    },
    /// Hotter than the nameplate allows.
    #[error("kiln {kiln} is rated to cone {limit}; cone {asked} is hotter")]
    TooHot {
        /// The kiln.
        kiln: String,
        /// Its limit.
        limit: Cone,
        /// As asked.
        asked: Cone,
    },
    /// No shelf fits or no post is long enough for the first one.
    #[error(
        "no shelf can be set up in kiln {0}: check that a full shelf fits its chamber and that three short posts are in stock"
    )]
    NoShelf(String),
}

/// Writes down the tiers of the best load so far. It costs some milliseconds, so whoever watches asks for it rarely.
pub type SoFar<'s> = &'s dyn Fn() -> Vec<Tier>;

/// Hears the share done (0 to 1), the value so far, and the load where the best so far is at hand; stops the search by
/// answering false.
pub type Watcher<'w> = dyn FnMut(f64, f64, Option<SoFar<'_>>) -> bool + 'w;

/// Plans one load. `watch` hears the share done (0 to 1) and the value so far after each round;
/// when it answers false the best plan so far is returned.
///
/// # Errors
/// See [`PlanError`]. A plan without ware is no error: everything is then in `left_out`.
pub fn plan(
    ask: &PlanAsk<'_>,
    watch: &mut dyn FnMut(f64, f64) -> bool,
) -> Result<LoadPlan, PlanError> {
    let mut load = plan_unproved(ask, watch)?;
    // Last, as nobody waits for the proof to see a load.
    load.worth.at_most = worth_at_most(ask)?.min(load.worth.at_most);
    Ok(load)
}

/// The same without a proof of its worth but that of all ware.
///
/// # Errors
/// As [`plan`].
pub fn plan_unproved(
    ask: &PlanAsk<'_>,
    watch: &mut dyn FnMut(f64, f64) -> bool,
) -> Result<LoadPlan, PlanError> {
    plan_shown(ask, &mut |share, value, _| watch(share, value))
}

/// As [`plan_unproved`], for one who wants to see the load as it grows.
///
/// # Errors
/// As [`plan`].
pub fn plan_shown(ask: &PlanAsk<'_>, watch: &mut Watcher<'_>) -> Result<LoadPlan, PlanError> {
    let kiln = kiln(ask)?;
    let (ware, left_out) = ware::sort_out(ask);
    let fill = |ask: &PlanAsk<'_>, bodies: &[Ware<'_>], watch: &mut Watcher<'_>| {
        let stacks = skeleton::skeletons(ask, kiln, bodies, assemble::STACKS_TRIED);
        (!stacks.is_empty())
            .then(|| assemble::assemble(ask, kiln, bodies, &ware, left_out.clone(), &stacks, watch))
    };
    pile::best(ask, &ware, &fill, watch).ok_or_else(|| PlanError::NoShelf(kiln.name.clone()))
}

/// Proof of how much any load of the ware that may go can be worth.
///
/// # Errors
/// As [`plan`], but for shelves that cannot be set up: nothing is worth anything then.
pub fn worth_at_most(ask: &PlanAsk<'_>) -> Result<f64, PlanError> {
    let (ware, _) = ware::sort_out(ask);
    Ok(bound::at_most(ask, kiln(ask)?, &pile::loosened(ask, &ware)))
}

/// The proof, and what no proof backs: how much the best loads known would be worth.
///
/// # Errors
/// As [`worth_at_most`].
pub fn worth_bounds(ask: &PlanAsk<'_>) -> Result<Bound, PlanError> {
    let (ware, _) = ware::sort_out(ask);
    Ok(bound::bound(ask, kiln(ask)?, &pile::loosened(ask, &ware)))
}

/// The kiln that is asked for, when it can be fired so hot.
fn kiln<'a>(ask: &PlanAsk<'a>) -> Result<&'a Kiln, PlanError> {
    let kiln = ask.studio.kiln(ask.kiln).ok_or_else(|| PlanError::NoKiln {
        asked: ask.kiln.to_owned(),
        known: ask
            .studio
            .kilns
            .iter()
            .map(|k| k.name.as_str())
            .collect::<Vec<_>>()
            .join(", "),
    })?;
    if ask.cone > kiln.max_cone {
        return Err(PlanError::TooHot {
            kiln: kiln.name.clone(),
            limit: kiln.max_cone,
            asked: ask.cone,
        });
    }
    Ok(kiln)
}
