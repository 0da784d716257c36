//! Where the tip of a bending cone points.

use std::fmt;

use crate::family::{Member, USUAL_C_PER_H};

/// Where the tip of a cone points, seen from the side to which it bends right: 12 is upright,
/// 6 is down.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Clock(f64);

/// Share of the bend and hours past 12: common practice, no source. Half is 3 o'clock and about
/// nine tenths 5 o'clock.
const HOURS: [(f64, f64); 4] = [(0.0, 0.0), (0.5, 3.0), (0.9, 5.0), (1.0, 6.0)];

/// A cone starts to move this many minutes before it is down when heated at 60 °C/h: the middle
/// of the chart's 15 to 25 min, and within its 22 °C.
const BEND_MINUTES: f64 = 20.0;

impl Clock {
    /// Hours past 12, from 0 (upright) to 6 (down).
    pub const fn past_twelve(self) -> f64 {
        self.0
    }

    /// Common practice, no source. A cone stands until it has the heat-work at which the chart's
    /// first movement falls; the heat-work from there to down is its bend. At a steady rate heat-work
    /// piles up ever faster, so that the bend is slow first and fast after half, as the chart says.
    pub(super) fn of(member: &Member, fraction: f64) -> Self {
        let first = Self::first(member);
        let share = ((fraction - first) / (1.0 - first)).clamp(0.0, 1.0);
        let hours = HOURS.windows(2).find_map(|pair| match pair {
            [(a, from), (b, to)] if share <= *b => Some(from + (to - from) * (share - a) / (b - a)),
            _ => None,
        });
        Self(hours.unwrap_or(6.0))
    }

    pub(super) const fn at(past_twelve: f64) -> Self {
        Self(past_twelve)
    }

    /// Share of its heat-work at which a cone begins to move.
    pub(super) fn first(member: &Member) -> f64 {
        member.law.share_at(USUAL_C_PER_H * BEND_MINUTES / 60.0)
    }
}

/// Share of the bend at so many hours past 12.
pub(super) fn share_of_hours(past_twelve: f64) -> f64 {
    let share = HOURS.windows(2).find_map(|pair| match pair {
        [(a, from), (b, to)] if past_twelve <= *to => {
            Some(a + (b - a) * (past_twelve - from) / (to - from))
        }
        _ => None,
    });
    share.unwrap_or(1.0)
}

/// To the half hour, as it is read by eye: `12`, `12:30`, `5`.
impl fmt::Display for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let halves = (self.0 * 2.0).round() as u32;
        let hour = if halves < 2 { 12 } else { halves / 2 };
        let half = if halves % 2 == 1 { ":30" } else { "" };
        write!(f, "{hour}{half}")
    }
}
