//! What to watch a firing by: its plan, its kiln, its start.

use glost_heat::kiln::from_plan;
use glost_heat::learn::belief_about;
use glost_heat::watch::WatchAsk;
use glost_model::book::Firing;
use glost_model::plan_file::PlanFile;

/// The kiln as the plan loads it, and the programme.
///
/// # Errors
/// In words, what is missing.
pub fn ask_of(firing: &Firing, plan: Option<PlanFile>) -> Result<WatchAsk, String> {
    let on = firing
        .started
        .ok_or("Nobody has written down that this kiln is on")?;
    let plan = plan.ok_or("This firing has no plan, so nothing can be foreseen of it")?;
    let programme = plan
        .firing
        .ok_or("This firing has no planned programme, so nothing can be foreseen of it")?;
    let kiln = plan
        .studio
        .kiln(&plan.load.kiln)
        .ok_or("The kiln of the plan is not among its kilns")?;
    let input = from_plan(&plan.studio, kiln, &plan.load);
    Ok(WatchAsk {
        believed: belief_about(kiln),
        ..WatchAsk::new(input, programme, on)
    })
}
