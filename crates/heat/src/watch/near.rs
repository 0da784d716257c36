//! The cone of the middle of the kiln, looked ahead to where the end is near.

use glost_model::tariff::Tariff;

use super::Watch;
use super::alarm::Near;
use super::track::Phase;
use crate::kiln::{Extent, KilnModel, simulate};

/// How near its end a firing is looked ahead of, in cones and K, and how often, s.
const NEAR_CONES: f64 = 4.0;
const NEAR_K: f64 = 60.0;
const NEAR_EVERY_S: f64 = 900.0;

impl Watch {
    /// Looks ahead to the cone of the middle where the end is near.
    pub(super) fn look_near(&mut self) {
        let now_s = self.now_s();
        let plan = &self.ask.plan;
        let kiln = self.kilns.middle();
        let middle = kiln.model().reference_zone();
        let got = kiln.cones().position(middle);
        let highest = plan
            .segments
            .iter()
            .map(|s| s.target.to_k())
            .fold(0.0, f64::max);
        let near = got > plan.cone.position() - NEAR_CONES || kiln.sensor_k() > highest - NEAR_K;
        if !near || now_s < self.near_s + NEAR_EVERY_S {
            return;
        }
        self.near_s = now_s;
        if self.track.phase == Phase::Over && kiln.sensor_k() < highest - 200.0 {
            return;
        }
        let from = self.from();
        let plan = from.plan_from_here();
        let Ok(future) = from.future(&self.off.by, &plan, Extent::Firing) else {
            return;
        };
        let Some(cone) = future.cones.get(middle).copied() else {
            return;
        };
        let (_, slopes) = self.kilns.figure(|l| l.cones().position(middle));
        let (_, deviation) = self.off.figure(0.0, &slopes);
        let planned = self.planned.unwrap_or_else(|| self.planned_cone(middle));
        self.planned = Some(planned);
        self.near = Some(Near {
            cone,
            deviation: deviation.clamp(0.05, 3.0),
            planned,
        });
    }

    /// Cone of the middle that the plan leads to in the kiln as it was described; that wanted when it leads nowhere.
    fn planned_cone(&self, middle: usize) -> f64 {
        let wanted = self.ask.plan.cone.position();
        let tariff = Tariff::flat("", 0.0);
        KilnModel::new(self.ask.kiln.clone())
            .ok()
            .and_then(|model| simulate(&model, &self.ask.plan, &tariff, Extent::Firing).ok())
            .and_then(|f| f.zones.get(middle).map(|z| z.cone_position))
            .unwrap_or(wanted)
    }
}
