//! From a question to a load plan.

use std::collections::BTreeMap;

use glost_model::cone::Cone;
use glost_model::kiln::Kiln;
use glost_model::load::{FiringKind, LoadPlan};
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

/// Plans one load. `watch` hears the share done (0 to 1) and the value so far after each round;
/// when it answers false the best plan so far is returned.
///
/// # Errors
/// See [`PlanError`]. A plan without ware is no error: everything is then in `left_out`.
pub fn plan(
    ask: &PlanAsk<'_>,
    watch: &mut dyn FnMut(f64, f64) -> bool,
) -> Result<LoadPlan, PlanError> {
    let kiln = kiln(ask)?;
    let (ware, left_out) = ware::sort_out(ask);
    let at_most = bound::at_most(ask, kiln, &pile::loosened(ask, &ware));
    let fill = |ask: &PlanAsk<'_>, bodies: &[Ware<'_>], watch: &mut dyn FnMut(f64, f64) -> bool| {
        let stacks = skeleton::skeletons(ask, kiln, bodies, assemble::STACKS_TRIED);
        (!stacks.is_empty()).then(|| {
            assemble::assemble(
                ask,
                kiln,
                bodies,
                &ware,
                left_out.clone(),
                &stacks,
                at_most,
                watch,
            )
        })
    };
    pile::best(ask, &ware, &fill, watch).ok_or_else(|| PlanError::NoShelf(kiln.name.clone()))
}

/// How much any load of the ware that may go can be worth.
///
/// # Errors
/// As [`plan`], but for shelves that cannot be set up: nothing is worth anything then.
pub fn worth_at_most(ask: &PlanAsk<'_>) -> Result<Bound, PlanError> {
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
