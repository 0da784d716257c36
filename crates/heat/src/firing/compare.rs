//! What the zones of a kiln get of one and the same firing, to compare loads by.

use glost_model::Rate;
use glost_model::firing::FiringPlan;
use glost_model::forecast::ZoneResult;
use glost_model::kiln::Kiln;
use glost_model::load::LoadPlan;
use glost_model::studio::Studio;

use super::{NotPlanned, facts, limits, segments};
use crate::kiln::{Extent, KilnModel, from_plan, simulate};

/// The zones after a firing that is not solved for this load: good for telling loads apart, not for
/// setting a controller. One simulation, where a plan takes ten or more.
///
/// # Errors
/// [`NotPlanned`].
pub fn zones_of(
    studio: &Studio,
    kiln: &Kiln,
    load: &LoadPlan,
) -> Result<Vec<ZoneResult>, NotPlanned> {
    let end = crate::end_point(load.cone, Rate::c_per_h(segments::LAST_C_PER_H))
        .ok_or(NotPlanned::NoLaw(load.cone))?;
    let model = KilnModel::new(from_plan(studio, kiln, load))?;
    let facts = facts::Facts::of(studio, load);
    let caps = limits::caps(&facts, segments::last_from(end));
    let list = segments::of(&facts, &caps, end, kiln.controller.hold_step).list;
    let plan = FiringPlan::new(load.cone, list);
    Ok(simulate(&model, &plan, &studio.tariff, Extent::Firing)?.zones)
}
