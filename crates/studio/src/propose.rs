//! Propose a load: plan it, then let the independent judge decide whether anyone may see it.

use std::sync::OnceLock;

use glost_check::{Breach, judge};
use glost_model::load::LoadPlan;
use glost_placing::{PlanAsk, PlanError, SoFar, plan_shown, worth_bounds};

use crate::even_out;

/// A load that the judge accepts.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The load.
    pub load: LoadPlan,
    /// How many cones its coolest zone is foreseen to fall short of the hottest: before ware changed
    /// places between tiers, and after.
    pub spread: Option<[f64; 2]>,
    /// What the best loads known would be worth. Not proved, as is [`LoadPlan::worth`].
    pub typical_best: f64,
}

/// Why there is no proposal.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ProposeError {
    /// Nothing can be planned.
    #[error(transparent)]
    NoPlan(#[from] PlanError),
    /// The planner made a mistake, which the judge saw.
    #[error("the plan breaks {} rules and is not shown; the first: {}", .0.len(), .0.first().map_or_else(String::new, ToString::to_string))]
    Refused(Vec<Breach>),
}

/// What is heard of a search under way.
pub struct Growing<'g> {
    /// Share done, 0 to 1.
    pub share: f64,
    /// Value so far.
    pub value: f64,
    /// Proof of how much any load can be worth, once it is found.
    pub at_most: Option<f64>,
    /// The load so far, where the best is at hand.
    pub so_far: Option<SoFar<'g>>,
}

/// Plans a load and has it judged. `watch` hears the share done and the value so far, and stops
/// the search by answering false.
///
/// # Errors
/// See [`ProposeError`].
pub fn propose(
    ask: &PlanAsk<'_>,
    watch: &mut dyn FnMut(f64, f64) -> bool,
) -> Result<Proposal, ProposeError> {
    propose_shown(ask, &mut |g| watch(g.share, g.value))
}

/// The same for one who wants to see the load as it grows.
///
/// # Errors
/// See [`ProposeError`].
pub fn propose_shown(
    ask: &PlanAsk<'_>,
    watch: &mut dyn FnMut(&Growing<'_>) -> bool,
) -> Result<Proposal, ProposeError> {
    let at_most = OnceLock::new();
    // The proof needs one core only. Nobody waits for it to see a load, but by it one knows how good a load is.
    let (found, bounds) = std::thread::scope(|threads| {
        let proof = threads.spawn(|| {
            let bounds = worth_bounds(ask);
            if let Ok(b) = &bounds {
                at_most.get_or_init(|| b.at_most);
            }
            bounds
        });
        let load = plan_shown(ask, &mut |share, value, so_far| {
            watch(&Growing {
                share,
                value,
                at_most: at_most.get().copied(),
                so_far,
            })
        });
        let found = load.map(|load| {
            let evened = even_out(ask, &load);
            (load, evened)
        });
        (found, proof.join())
    });
    let (mut load, evened) = found?;
    let bounds = bounds.unwrap_or_else(|panic| std::panic::resume_unwind(panic))?;
    let typical_best = bounds.typical_best;
    let proved = |load: &mut LoadPlan| load.worth.at_most = bounds.at_most.min(load.worth.at_most);
    // Only a guess of the model: a load that the judge refuses then stays as it was.
    if let Some(mut e) = evened {
        proved(&mut e.load);
        if judge(ask.studio, ask.book, &e.load).is_empty() {
            return Ok(Proposal {
                load: e.load,
                spread: Some([e.before, e.after]),
                typical_best,
            });
        }
    }
    proved(&mut load);
    let breaches = judge(ask.studio, ask.book, &load);
    if breaches.is_empty() {
        Ok(Proposal {
            load,
            spread: None,
            typical_best,
        })
    } else {
        Err(ProposeError::Refused(breaches))
    }
}
