//! Propose a load: plan it, then let the independent judge decide whether anyone may see it.

use glost_check::{Breach, judge};
use glost_model::load::LoadPlan;
use glost_placing::{PlanAsk, PlanError, plan};

use crate::even_out;

/// A load that the judge accepts.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The load.
    pub load: LoadPlan,
    /// How many cones its coolest zone is foreseen to fall short of the hottest: before ware changed
    /// places between tiers, and after.
    pub spread: Option<[f64; 2]>,
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
    let load = plan(ask, watch)?;
    // Last, and only a guess of the model: a load that the judge refuses then stays as it was.
    if let Some(e) = even_out(ask, &load)
        && judge(ask.studio, ask.book, &e.load).is_empty()
    {
        return Ok(Proposal {
            load: e.load,
            spread: Some([e.before, e.after]),
        });
    }
    let breaches = judge(ask.studio, ask.book, &load);
    if breaches.is_empty() {
        Ok(Proposal { load, spread: None })
    } else {
        Err(ProposeError::Refused(breaches))
    }
}
