//! Foresee a firing: plan it for this load in this kiln, and say what to expect.

use glost_heat::firing::{self, NotPlanned};
use glost_model::plan_file::PlanFile;

/// Adds the firing and its forecast to a plan. A load without ware gets none.
///
/// # Errors
/// [`NotPlanned`]. A kiln too weak for it is no error: the forecast says so.
pub fn foresee(plan: &mut PlanFile) -> Result<(), NotPlanned> {
    if plan.load.placed().next().is_none() {
        return Ok(());
    }
    let Some(kiln) = plan.studio.kiln(&plan.load.kiln) else {
        return Ok(());
    };
    let planned = firing::plan(&plan.studio, kiln, &plan.load)?;
    plan.firing = Some(planned.plan);
    plan.forecast = Some(planned.forecast);
    Ok(())
}
