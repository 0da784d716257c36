//! The peak and hold that bring the cone down in the middle of this kiln with this load.

use glost_model::firing::FiringPlan;
use glost_model::kiln::Kiln;
use glost_model::studio::Studio;
use glost_model::{Rate, Span, Temperature};

use super::{NotPlanned, whole_c};
use crate::kiln::{Extent, KilnModel, in_detail, simulate};

/// Near enough, in cones.
const NEAR: f64 = 0.05;
/// Solved to this before it is rounded, in cones.
const EXACT: f64 = 0.01;
/// A cone is about this far from the next, K. Only the first step is guided by it.
const CONE_K: f64 = 25.0;
/// No step of the search goes further, K.
const STRIDE_K: f64 = 40.0;
/// Simulations at most.
const TRIES: usize = 10;
/// Longest hold at the peak.
const LONGEST: Span = Span::h(3.0);

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

/// Rates are lowered to what the kiln keeps at most so often.
const LOWERINGS: usize = 4;

/// Lowers rates that this kiln cannot keep with this load to ones that it can, in whole 5 °C/h, so
/// that the controller has not to wait.
pub fn rates(model: &KilnModel, plan: &mut FiringPlan, studio: &Studio) -> Result<(), NotPlanned> {
    let asked: Vec<Option<Rate>> = plan.segments.iter().map(|s| s.rate).collect();
    for _ in 0..LOWERINGS {
        let (_, late) = in_detail(model, plan, &studio.tariff, Extent::Firing)?;
        let mut lowered = false;
        for l in late {
            let kept = (Rate::k_per_s(l.kept).to_c_per_h() / 5.0).floor() * 5.0;
            if let Some(s) = plan.segments.get_mut(l.segment)
                && kept >= 5.0
            {
                s.rate = Some(Rate::c_per_h(kept));
                lowered = true;
            }
        }
        if !lowered {
            break;
        }
    }
    for (i, (asked, now)) in asked.iter().zip(&plan.segments).enumerate() {
        if let (Some(asked), Some(now)) = (asked, now.rate)
            && now < *asked
        {
            plan.notes.push(format!(
                "Segment {}: {} would do for the ware; this kiln with this load keeps about {}.",
                i + 1,
                studio.shown.rate(*asked),
                studio.shown.rate(now)
            ));
        }
    }
    Ok(())
}

/// Cones short of the wanted one from which a kiln counts as too weak for it.
const NOT_REACHED: f64 = 0.25;

/// Sets target and hold of the segment that ends at the peak, rounded to 1 °C and whole hold steps.
pub fn peak(
    model: &KilnModel,
    kiln: &Kiln,
    plan: &mut FiringPlan,
    number: usize,
    studio: &Studio,
) -> Result<(), NotPlanned> {
    let Some(segment) = plan.segments.get(number) else {
        return Ok(());
    };
    let (mut best, mut hold) = (segment.target, segment.hold);
    let step = kiln.controller.hold_step.max(Span::s(1.0));
    let limit = Temperature::c(kiln.max_temperature.to_c().floor());
    let mut search = Search {
        model,
        plan,
        number,
        studio,
    };
    best = best.min(limit);
    let mut off = search.off(best, hold)?;
    let mut per_k = 1.0 / CONE_K;
    for _ in 0..TRIES {
        if off.abs() < EXACT || (best >= limit && off < 0.0) {
            break;
        }
        let stride = (-off / per_k).clamp(-STRIDE_K, STRIDE_K);
        let next = Temperature::k(best.to_k() + stride).min(limit);
        let next_off = search.off(next, hold)?;
        let moved = (next - best).to_k();
        let gained = next_off - off;
        if moved.abs() > 1e-6 && gained / moved > 1e-4 {
            per_k = gained / moved;
        }
        // At full power a higher peak gains nothing more.
        let stuck = moved > 1.0 && gained < 1e-3;
        best = next;
        off = next_off;
        if stuck {
            break;
        }
    }
    best = whole_c(best);
    off = search.off(best, hold)?;
    let mut toward = if off < 0.0 { step } else { -step };
    while off.abs() > NEAR {
        // Far off only at the nameplate's limit, where longer strides find the hold.
        let strides = (off.abs() / 0.1).floor().clamp(1.0, 20.0);
        let next = hold + toward * strides;
        if next < Span::ZERO || next > LONGEST {
            break;
        }
        let next_off = search.off(best, next)?;
        if next_off.abs() >= off.abs() {
            break;
        }
        hold = next;
        off = next_off;
        toward = if off < 0.0 { step } else { -step };
    }
    if let Some(segment) = search.plan.segments.get_mut(number) {
        segment.target = best;
        segment.hold = hold;
    }
    if best >= limit && off.abs() > NEAR {
        search.plan.notes.push(format!(
            "The peak is held down to {}, the most that the nameplate allows.",
            studio.shown.temperature(limit)
        ));
    }
    Ok(())
}

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
