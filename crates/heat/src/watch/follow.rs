//! Where the programme is, when the log does not tell it.

use super::Watch;
use super::intake::Batch;
use super::kilns::Took;
use super::track::Phase;
use crate::kiln::{Drive, NotSimulated};

/// The programme is followed in steps of this where nothing is read, s.
const STEP_S: f64 = 300.0;
/// A set point that is worked out is put right when the sensor is over it by this, K: the controller began its ramp
/// sooner than thought.
const AHEAD_K: f64 = 4.0;
/// The end of a hold may come this much sooner than was worked out, s.
const SOONER_S: f64 = 1500.0;
pub const FELL_K: f64 = 12.0;

impl Watch {
    /// Nothing is read: the kilns do what the programme has them do.
    pub(super) fn coast(
        &mut self,
        batch: &Batch,
        over: &mut Vec<usize>,
    ) -> Result<Took, NotSimulated> {
        let mut took = None;
        while self.now_s() < batch.to_s - 1e-6 || took.is_none() {
            let left_s = batch.to_s - self.now_s();
            let step_s = left_s.min(STEP_S);
            let sensor_k = self.kilns.middle().sensor_k();
            over.extend(
                self.track
                    .step(&self.ask.plan, step_s, sensor_k, batch.set_k),
            );
            let off = self.track.phase == Phase::Over;
            let drive = if off { Drive::Off } else { Drive::Controlled };
            let set_k = if off { sensor_k } else { self.track.set_k };
            let to_s = self.now_s() + step_s;
            took = Some(self.kilns.lead(to_s, set_k, drive, off)?);
        }
        took.ok_or(NotSimulated::Lost)
    }

    /// Puts right where the programme is by what the kiln does, where no set point is told.
    pub(super) fn align(&mut self, batch: &Batch, share: f64, over: &mut Vec<usize>) {
        let (Some(k), None) = (batch.reading_k, batch.set_k) else {
            return;
        };
        let plan = &self.ask.plan;
        let Some((target_k, rate)) = self.track.segment_of(plan) else {
            return;
        };
        let last = self.track.segment + 1 == plan.segments.len();
        let next_k = plan.segments.get(self.track.segment + 1);
        let next_k = next_k.map(|s| s.target.to_k());
        let next_up = next_k.is_some_and(|t| t > target_k + 1.0);
        let next_down = next_k.is_some_and(|t| t < target_k - 1.0);
        let soon = match self.track.phase {
            Phase::Hold { left_s } => left_s < SOONER_S,
            Phase::Arrive { .. } => true,
            // A peak without a hold may be over before anything was logged at it.
            Phase::Ramp => {
                let per_s = rate.map_or(f64::INFINITY, f64::abs);
                (target_k - self.track.set_k).abs() <= 2.0 * STEP_S * per_s + FELL_K
            }
            Phase::Over => false,
        };
        let fell = k < target_k - FELL_K && share < 0.08;
        if soon && last && fell {
            over.push(self.track.segment);
            self.track.segment += 1;
            self.track.phase = Phase::Over;
        } else if soon && (next_down && fell || next_up && k > target_k + 2.0 * AHEAD_K) {
            over.push(self.track.segment);
            self.track.segment += 1;
            self.track.phase = Phase::Ramp;
            self.track.set_k = k;
        } else if self.track.phase == Phase::Ramp
            && target_k > self.track.set_k
            && k > self.track.set_k + AHEAD_K
            && share > 0.05
        {
            self.track.set_k = k.min(target_k);
        }
    }

    pub(super) fn falls_freely(&self) -> bool {
        let plan = &self.ask.plan;
        let here = plan.segments.get(self.track.segment);
        let before = self
            .track
            .segment
            .checked_sub(1)
            .and_then(|i| plan.segments.get(i));
        match (here, before) {
            (Some(h), Some(b)) => {
                h.target < b.target && !matches!(self.track.phase, Phase::Hold { .. })
            }
            _ => false,
        }
    }
}
