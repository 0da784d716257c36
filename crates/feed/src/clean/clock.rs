//! The times of samples.

use std::collections::VecDeque;

use jiff::Timestamp;

use glost_model::Span;

use super::{What, between, limit};

/// Distances of which the usual one is taken.
const USUAL_OF: usize = 5;
/// An hour back, as clocks go at the end of summer time, within this.
const HOUR: (Span, Span) = (Span::minutes(50.0), Span::minutes(60.0));

#[derive(Debug, Default)]
pub(super) struct ClockGuard {
    latest: Option<Timestamp>,
    /// A time far ahead that waits for a second one.
    ahead: Option<Timestamp>,
    steps: VecDeque<Span>,
    /// Where the clock went back to, as long as it is behind.
    back: Option<What>,
}

impl ClockGuard {
    /// What is odd about the next time; all but a gap withholds the sample.
    pub(super) fn judge(&mut self, at: Timestamp, same: bool) -> Option<What> {
        let Some(latest) = self.latest else {
            self.latest = Some(at);
            return None;
        };
        let step = between(latest, at);
        if step < Span::ZERO {
            self.ahead = None;
            let by = step.abs();
            // Told alike until the time has caught up.
            let what = self.back.get_or_insert(if by >= HOUR.0 && by <= HOUR.1 {
                What::SummerTime { latest }
            } else {
                What::ClockBack { latest, by }
            });
            return Some(what.clone());
        }
        self.back = None;
        if same {
            return Some(What::Doubled);
        }
        if step > limit::LEAP.default {
            let agrees = self.ahead.is_some_and(|a| {
                let since = between(a, at);
                since >= Span::ZERO && since <= limit::LEAP.default
            });
            if !agrees {
                self.ahead = Some(at);
                return Some(What::ClockLeapt { by: step });
            }
        }
        self.ahead = None;
        let usual = self.usual();
        self.latest = Some(at);
        if step > Span::ZERO {
            self.steps.push_back(step);
            if self.steps.len() > USUAL_OF {
                self.steps.pop_front();
            }
        }
        let usual = usual?;
        let gap = step > limit::GAP.default && step > usual * limit::GAP_TIMES.default;
        gap.then_some(What::Gap { from: latest })
    }

    /// The middle one of the last distances.
    fn usual(&self) -> Option<Span> {
        let mut steps: Vec<Span> = self.steps.iter().copied().collect();
        steps.sort_by(Span::total_cmp);
        steps.get(steps.len() / 2).copied()
    }
}
