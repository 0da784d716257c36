//! How a controller arrives: later or sooner than the model's, and more so the more its kiln lags.

use serde::{Deserialize, Serialize};

use super::model::Run;

/// Time by which the end of the peak is later than the model says, whatever the parameters: so much in any case, and
/// such a share of how far the model itself is behind its programme. A normal law over both.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Late {
    /// In any case, s, and the share.
    pub mean: [f64; 2],
    /// Covariance of the two.
    pub covariance: [[f64; 2]; 2],
}

/// Deviations before the first firing; proposed, from kilns unlike the model.
const ANYWAY_S: f64 = 300.0;
const SHARE: f64 = 0.3;
/// And what they change by from one firing to the next.
const WALKS_S: f64 = 40.0;
const WALKS: f64 = 0.05;
/// What no fit tells of a lag: so much of it.
const OF_LAG: f64 = 0.2;

impl Late {
    /// Before any firing.
    pub const UNKNOWN: Self = Self {
        mean: [0.0, 0.0],
        covariance: [[ANYWAY_S * ANYWAY_S, 0.0], [0.0, SHARE * SHARE]],
    };

    /// How much later a firing's peak ends than the run says, and the deviation of that, s.
    pub(super) fn of(&self, run: &Run) -> (f64, f64) {
        let by = [1.0, run.behind_s];
        let mean = self.mean[0] + self.mean[1] * by[1];
        let own = self.spread(by).1;
        (mean, own.max(0.0).sqrt().hypot(OF_LAG * run.behind_s))
    }

    fn spread(&self, by: [f64; 2]) -> ([f64; 2], f64) {
        let c = &self.covariance;
        let along = [
            c[0][0] * by[0] + c[0][1] * by[1],
            c[1][0] * by[0] + c[1][1] * by[1],
        ];
        (along, along[0] * by[0] + along[1] * by[1])
    }

    /// Weighs a firing that came so much later than the run said; `deviation` is of all else.
    pub(super) fn see(&mut self, run: &Run, later_s: f64, deviation_s: f64) {
        self.covariance[0][0] += WALKS_S * WALKS_S;
        self.covariance[1][1] += WALKS * WALKS;
        let by = [1.0, run.behind_s];
        let (along, own) = self.spread(by);
        let all = own + deviation_s.powi(2).max(900.0) + (OF_LAG * run.behind_s).powi(2);
        let miss = later_s - self.mean[0] - self.mean[1] * by[1];
        for i in 0..2 {
            self.mean[i] += along[i] / all * miss;
            for k in 0..2 {
                self.covariance[i][k] -= along[i] * along[k] / all;
            }
        }
    }
}
