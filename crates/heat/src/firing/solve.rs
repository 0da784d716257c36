//! What a kiln that is too weak for the cone is set to.

use glost_model::firing::FiringPlan;
use glost_model::kiln::Kiln;
use glost_model::studio::Studio;
use glost_model::{Span, Temperature};

use super::{NotPlanned, whole_c};
use crate::kiln::{Extent, KilnModel, simulate};

struct Search<'a> {
    model: &'a KilnModel,
    plan: &'a mut FiringPlan,
    number: usize,
    studio: &'a Studio,
}

impl Search<'_> {
    /// How many cones too far with this peak and hold; negative when short.
    fn off(&mut self, peak: Temperature, hold: Span) -> Result<f64, NotPlanned> {
        if let Some(segment) = self.plan.segments.get_mut(self.number) {
            segment.target = peak;
            segment.hold = hold;
        }
        let f = simulate(self.model, self.plan, &self.studio.tariff, Extent::Firing)?;
        let zone = f.zones.get(self.model.reference_zone());
        let position = zone.map_or(-22.0, |z| z.cone_position);
        Ok(position - self.plan.cone.position())
    }
}

/// Cones short of the wanted one from which a kiln counts as too weak for it.
const NOT_REACHED: f64 = 0.25;

/// A kiln too weak for the cone is not sent after it: mended or better supplied than thought, it would
/// overfire the load. The peak stays at the cone's own end point.
pub fn no_chase(
    model: &KilnModel,
    kiln: &Kiln,
    plan: &mut FiringPlan,
    number: usize,
    studio: &Studio,
    end: Temperature,
) -> Result<(), NotPlanned> {
    let Some(segment) = plan.segments.get(number) else {
        return Ok(());
    };
    let (target, hold) = (segment.target, segment.hold);
    let mut search = Search {
        model,
        plan,
        number,
        studio,
    };
    if target > end && search.off(target, hold)? < -NOT_REACHED {
        let own = whole_c(end).min(Temperature::c(kiln.max_temperature.to_c().floor()));
        if let Some(segment) = search.plan.segments.get_mut(number) {
            segment.target = own;
            segment.hold = kiln.controller.hold_step.max(Span::minutes(10.0));
            segment.reason = "The cone's own end point: this kiln does not get there, and is not sent beyond it.".into();
        }
    }
    Ok(())
}
