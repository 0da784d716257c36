//! Foresee a firing: plan it for this load in this kiln, and say what to expect and how sure it is.

use glost_heat::doubt::{Draws, doubt_by};
use glost_heat::firing::{self, NotPlanned, Planned, Wishes};
use glost_heat::kiln::from_plan;
use glost_heat::learn::belief_about;
use glost_model::firing::Segment;
use glost_model::plan_file::PlanFile;

/// Adds the firing and its forecast to a plan, with the same wishes as the firing that it has. A load without ware
/// gets none.
///
/// # Errors
/// [`NotPlanned`]. A kiln too weak for it is no error: the forecast says so.
pub fn foresee(plan: &mut PlanFile) -> Result<(), NotPlanned> {
    let wishes = plan.firing.as_ref().map(|f| Wishes {
        aim: f.aim,
        drop_hold: f.drop_hold,
        start: None,
    });
    foresee_for(plan, &wishes.unwrap_or_default())
}

/// The same for what is wished.
///
/// # Errors
/// As [`foresee`].
pub fn foresee_for(plan: &mut PlanFile, wishes: &Wishes) -> Result<(), NotPlanned> {
    (plan.firing, plan.forecast) = (None, None);
    if plan.load.placed().next().is_none() {
        return Ok(());
    }
    let Some(kiln) = plan.studio.kiln(&plan.load.kiln) else {
        return Ok(());
    };
    let planned = firing::plan_for(&plan.studio, kiln, &plan.load, wishes)?;
    keep(plan, planned);
    Ok(())
}

/// The same for segments of somebody's own, also of an empty kiln.
///
/// # Errors
/// As [`foresee`].
pub(crate) fn foresee_own(plan: &mut PlanFile, segments: Vec<Segment>) -> Result<(), NotPlanned> {
    if let Some(kiln) = plan.studio.kiln(&plan.load.kiln) {
        let tried = firing::try_out(&plan.studio, kiln, &plan.load, segments)?;
        keep(plan, tried);
    }
    Ok(())
}

/// Puts a firing into the plan, with how sure its forecast is.
fn keep(plan: &mut PlanFile, planned: Planned) {
    let (firing, mut forecast) = (planned.plan, planned.forecast);
    let Some(kiln) = plan.studio.kiln(&plan.load.kiln) else {
        return;
    };
    let input = from_plan(&plan.studio, kiln, &plan.load);
    // A firing is worth having without it.
    let believed = belief_about(kiln);
    let tariff = &plan.studio.tariff;
    match doubt_by(&input, &firing, tariff, &Draws::default(), &believed) {
        Ok(doubt) => {
            let power = doubt.margin.words(firing.cone, plan.studio.shown);
            forecast.notes.extend(power);
            forecast.doubt = Some(doubt);
        }
        Err(e) => forecast
            .notes
            .push(format!("How sure this is could not be worked out: {e}.")),
    }
    plan.firing = Some(firing);
    plan.forecast = Some(forecast);
}
