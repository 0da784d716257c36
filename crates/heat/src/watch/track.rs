//! Where the controller is in its programme, by what the sensor and, if it tells it, the set point show.

use glost_model::firing::FiringPlan;

use crate::kiln::WAIT_K;

/// What the controller is doing with a segment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Phase {
    /// The set point is on its way.
    Ramp,
    /// The set point is there, the sensor is not.
    Arrive {
        /// For so long, s.
        since_s: f64,
    },
    /// It holds.
    Hold {
        /// For so long still, s.
        left_s: f64,
    },
    /// The programme is over.
    Over,
}

/// A place in the programme.
#[derive(Debug, Clone, PartialEq)]
pub struct Track {
    /// Number of the segment that runs.
    pub segment: usize,
    /// What it does.
    pub phase: Phase,
    /// Set point, K.
    pub set_k: f64,
    /// The set point was told.
    pub told: bool,
    /// What everything was at, K.
    first_k: f64,
}

/// A sensor so near has arrived, K: noise and swing of real controllers are wider than a model's.
const ARRIVED_K: f64 = 3.0;
/// A controller that never comes nearer than this has its own idea of arriving: after some time it is taken to hold, K
/// and s.
const NEARLY_K: f64 = 9.0;
const NEARLY_S: f64 = 1200.0;
/// A set point this far from its target has left it or has not come there, K.
const LEFT_K: f64 = 2.0;
/// One that turns back this near its target was there, K: what a fast ramp does in two stretches.
const TURNS_K: f64 = 40.0;
/// A kiln this far below its last target is off, whatever set point is still told, K.
const FELL_K: f64 = 15.0;

impl Track {
    /// Before the first segment, with everything at this, K.
    pub fn new(plan: &FiringPlan, start_k: f64) -> Self {
        Self {
            segment: 0,
            phase: if plan.segments.is_empty() {
                Phase::Over
            } else {
                Phase::Ramp
            },
            set_k: start_k,
            told: false,
            first_k: start_k,
        }
    }

    /// Target and rate, K and K/s, of the segment that runs.
    pub fn segment_of(&self, plan: &FiringPlan) -> Option<(f64, Option<f64>)> {
        let s = plan.segments.get(self.segment)?;
        Some((s.target.to_k(), s.rate.map(|r| r.to_k_per_s())))
    }

    /// Goes on; gives the segments that are over now. `reading_k` is that at the end of the time.
    pub fn step(
        &mut self,
        plan: &FiringPlan,
        dt_s: f64,
        reading_k: f64,
        told_k: Option<f64>,
    ) -> Vec<usize> {
        let mut over = Vec::new();
        let mut left_s = dt_s;
        self.told = told_k.is_some();
        // Each turn ends a phase or the time; a segment has three.
        for _ in 0..3 * plan.segments.len() + 3 {
            let Some((target_k, rate)) = self.segment_of(plan) else {
                self.phase = Phase::Over;
                break;
            };
            let away = told_k.is_some_and(|t| (t - target_k).abs() > LEFT_K);
            match self.phase {
                Phase::Over => break,
                Phase::Ramp => {
                    if let Some(told) = told_k {
                        let passed = self.passed(plan, target_k, told);
                        self.set_k = told;
                        if passed {
                            self.next(&mut over);
                            continue;
                        }
                        if away {
                            break;
                        }
                    } else if let Some(used_s) = self.ramp(target_k, rate, left_s, reading_k) {
                        left_s -= used_s;
                    } else {
                        break;
                    }
                    self.set_k = target_k;
                    self.phase = Phase::Arrive { since_s: 0.0 };
                }
                Phase::Arrive { since_s } => {
                    let short = (target_k - reading_k).abs();
                    let nearly = short < NEARLY_K && since_s >= NEARLY_S;
                    if short <= ARRIVED_K || nearly {
                        let hold_s = plan
                            .segments
                            .get(self.segment)
                            .map_or(0.0, |s| s.hold.to_s());
                        self.phase = Phase::Hold { left_s: hold_s };
                    } else if away {
                        self.next(&mut over);
                    } else {
                        self.phase = Phase::Arrive {
                            since_s: since_s + left_s,
                        };
                        break;
                    }
                }
                Phase::Hold { left_s: hold_s } => {
                    // One that tells its set point is believed: it holds as long as that stays.
                    let stays = told_k.is_some() && !away;
                    let last = self.segment + 1 == plan.segments.len();
                    let fell = last && hold_s <= 0.0 && reading_k < target_k - FELL_K;
                    if away || fell || (hold_s <= left_s && !stays) {
                        left_s = (left_s - hold_s).max(0.0);
                        self.next(&mut over);
                    } else {
                        self.phase = Phase::Hold {
                            left_s: (hold_s - left_s).max(0.0),
                        };
                        break;
                    }
                }
            }
        }
        over
    }

    /// A set point that is told went past the target, or turned back at it, on its way to the next one: nothing was
    /// held there, and nobody logged in the moment that it was there.
    fn passed(&self, plan: &FiringPlan, target_k: f64, told_k: f64) -> bool {
        let Some(next) = plan.segments.get(self.segment + 1) else {
            return false;
        };
        let before = self
            .segment
            .checked_sub(1)
            .and_then(|i| plan.segments.get(i));
        let from_k = before.map_or(self.first_k, |s| s.target.to_k());
        let way = (target_k - from_k).signum();
        let goes_on = (next.target.to_k() - target_k) * way > 0.0;
        if goes_on {
            return (told_k - target_k) * way > 0.0;
        }
        let turns = (told_k - self.set_k) * way < -LEFT_K;
        turns && (self.set_k - target_k).abs() < TURNS_K
    }

    /// The set point moves as a controller moves it that waits for its kiln; gives the time that it took to its
    /// target, or nothing when it has not come there.
    fn ramp(&mut self, target_k: f64, rate: Option<f64>, dt_s: f64, reading_k: f64) -> Option<f64> {
        let Some(size) = rate.map(f64::abs).filter(|r| *r > 0.0) else {
            return Some(0.0);
        };
        let way = (target_k - self.set_k).signum();
        let half = WAIT_K / 2.0;
        // Kept up with, or waited for: never further ahead than the wait.
        let free = self.set_k + way * size * dt_s;
        let most = reading_k + way * (WAIT_K - 0.5);
        let goes = if (free - reading_k) * way > half {
            let held = if way > 0.0 {
                free.min(most)
            } else {
                free.max(most)
            };
            if (held - self.set_k) * way > 0.0 {
                held
            } else {
                self.set_k
            }
        } else {
            free
        };
        if (target_k - goes) * way <= 0.0 {
            return Some(((target_k - self.set_k).abs() / size).min(dt_s));
        }
        self.set_k = goes;
        None
    }

    fn next(&mut self, over: &mut Vec<usize>) {
        over.push(self.segment);
        self.segment += 1;
        self.phase = Phase::Ramp;
    }

    /// Time that the hold still lasts, s, if it holds.
    pub fn hold_left_s(&self) -> Option<f64> {
        match self.phase {
            Phase::Hold { left_s } => Some(left_s),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::validation::kilns::plan;

    fn c(k: f64) -> f64 {
        k + 273.15
    }

    #[test]
    fn goes_through_its_segments_with_a_kiln_that_keeps_up() {
        let plan = plan("6", &[(100.0, 200.0, 30.0), (60.0, 260.0, 0.0)]).unwrap();
        let mut track = Track::new(&plan, c(20.0));
        let mut over = Vec::new();
        let mut minute = 0;
        while track.phase != Phase::Over && minute < 1000 {
            minute += 5;
            let m = f64::from(minute);
            let reading = if m <= 108.0 {
                20.0 + m / 0.6
            } else if m <= 138.0 {
                200.0
            } else {
                (200.0 + (m - 138.0)).min(260.0)
            };
            let ended = track.step(&plan, 300.0, c(reading), None);
            over.extend(ended.into_iter().map(|s| (s, minute)));
        }
        assert_eq!(over.len(), 2);
        assert!((135..=145).contains(&over[0].1), "{over:?}");
        assert!((195..=205).contains(&over[1].1), "{over:?}");
    }

    #[test]
    fn waits_for_a_kiln_that_lags() {
        let plan = plan("6", &[(100.0, 900.0, 0.0)]).unwrap();
        let mut track = Track::new(&plan, c(20.0));
        for i in 1..=60 {
            track.step(&plan, 300.0, c(20.0 + 4.0 * f64::from(i)), None);
            assert!(track.set_k <= c(20.0 + 4.0 * f64::from(i)) + WAIT_K);
        }
        assert!(track.set_k > c(260.0 + WAIT_K / 2.0));
    }

    #[test]
    fn a_set_point_does_not_rest_at_a_target_without_a_hold() {
        let segments = [
            (100.0, 120.0, 0.0),
            (250.0, 338.0, 0.0),
            (60.0, 1200.0, 5.0),
        ];
        let plan = plan("6", &segments).unwrap();
        let mut track = Track::new(&plan, c(20.0));
        assert!(
            track
                .step(&plan, 300.0, c(115.0), Some(c(117.0)))
                .is_empty()
        );
        assert_eq!(track.step(&plan, 300.0, c(122.0), Some(c(130.0))), [0]);
        assert_eq!(track.step(&plan, 1200.0, c(340.0), Some(c(350.0))), [1]);
        assert_eq!((track.segment, track.phase), (2, Phase::Ramp));
        // Beyond the last target it is another programme.
        assert!(
            track
                .step(&plan, 300.0, c(1240.0), Some(c(1250.0)))
                .is_empty()
        );
        assert!((track.set_k - c(1250.0)).abs() < 1e-9);
    }

    #[test]
    fn a_target_that_is_only_passed_is_over() {
        let plan = plan(
            "6",
            &[(100.0, 200.0, 0.0), (60.0, 260.0, 0.0), (60.0, 200.0, 0.0)],
        )
        .unwrap();
        let mut track = Track::new(&plan, c(20.0));
        assert!(
            track
                .step(&plan, 300.0, c(195.0), Some(c(197.0)))
                .is_empty()
        );
        assert_eq!(track.step(&plan, 300.0, c(203.0), Some(c(204.0))), [0]);
        assert!(
            track
                .step(&plan, 300.0, c(255.0), Some(c(257.0)))
                .is_empty()
        );
        assert_eq!(track.step(&plan, 300.0, c(256.0), Some(c(254.0))), [1]);
        assert_eq!((track.segment, track.phase), (2, Phase::Ramp));
    }

    #[test]
    fn believes_a_set_point_that_is_told() {
        let plan = plan("6", &[(100.0, 200.0, 10.0), (60.0, 260.0, 0.0)]).unwrap();
        let mut track = Track::new(&plan, c(20.0));
        track.step(&plan, 300.0, c(190.0), Some(c(200.0)));
        assert!(matches!(track.phase, Phase::Arrive { .. }));
        track.step(&plan, 300.0, c(199.0), Some(c(200.0)));
        for _ in 0..5 {
            track.step(&plan, 300.0, c(199.0), Some(c(200.0)));
        }
        assert_eq!((track.segment, track.hold_left_s()), (0, Some(0.0)));
        assert_eq!(track.step(&plan, 300.0, c(203.0), Some(c(205.0))), [0]);
        assert!((track.set_k - c(205.0)).abs() < 1e-9);
    }
}
