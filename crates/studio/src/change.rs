//! Change a load at the kiln: replan it with few changes, then let the independent judge decide.

use glost_check::{Breach, judge};
use glost_model::load::LoadPlan;
use glost_placing::{Change, ChangeError, Changed, PlanAsk, replan};

/// Why a plan is not changed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ChangeTrouble {
    /// It cannot be changed so.
    #[error(transparent)]
    Cannot(#[from] ChangeError),
    /// The plan to change cannot be judged at all.
    #[error("the plan cannot be changed, since it is not sound: {0}")]
    Unsound(Breach),
    /// The changed plan breaks rules that the plan itself may have broken before.
    #[error("the changed plan breaks {} rules and is not shown; the first: {}", .0.len(), .0.first().map_or_else(String::new, ToString::to_string))]
    Refused(Vec<Breach>),
}

/// Changes a plan and has the result judged. A new forecast is the caller's matter, see
/// [`crate::foresee`]. `watch` hears the share done and the value so far, and stops letting ware in
/// by answering false.
///
/// # Errors
/// See [`ChangeTrouble`].
pub fn change(
    ask: &PlanAsk<'_>,
    from: &LoadPlan,
    change: &Change,
    watch: &mut dyn FnMut(f64, f64) -> bool,
) -> Result<Changed, ChangeTrouble> {
    // The planner takes sizes on trust; a plan may have been edited.
    let unsound = judge(ask.studio, ask.book, from);
    if let Some(b) = unsound.into_iter().find(|b| b.rule == "number") {
        return Err(ChangeTrouble::Unsound(b));
    }
    let changed = replan(ask, from, change, watch)?;
    let breaches = judge(ask.studio, ask.book, &changed.load);
    if breaches.is_empty() {
        Ok(changed)
    } else {
        Err(ChangeTrouble::Refused(breaches))
    }
}
