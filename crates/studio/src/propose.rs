//! Propose a load: plan it, then let the independent judge decide whether anyone may see it.

use glost_check::{Breach, judge};
use glost_model::load::LoadPlan;
use glost_placing::{PlanAsk, PlanError, plan_unproved, worth_bounds};

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

/// Plans a load and has it judged. `watch` hears the share done and the value so far, and stops
/// the search by answering false.
///
/// # Errors
/// See [`ProposeError`].
pub fn propose(
    ask: &PlanAsk<'_>,
    watch: &mut dyn FnMut(f64, f64) -> bool,
) -> Result<Proposal, ProposeError> {
    let mut load = plan_unproved(ask, watch)?;
    // Nobody waits for the proof to see a load, and it needs one core only.
    let (bounds, evened) = std::thread::scope(|threads| {
        let proof = threads.spawn(|| worth_bounds(ask));
        let evened = even_out(ask, &load);
        (proof.join(), evened)
    });
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
