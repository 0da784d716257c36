//! How often firings of a sort come: the mean, the spread, and the doubt that follows.

use jiff::civil::Date;

use super::{PastFiring, Waiting, days_between};

/// Fewer firings, or days of firing, say nothing of the next. Three have two gaps, the least with a
/// spread.
pub(super) const FEWEST: usize = 3;
/// No band is narrower than this on either side, days: kilns are unloaded by people.
const NARROWEST: f64 = 1.0;
/// Loads beyond these are not counted one by one.
const MOST_LOADS: f64 = 1000.0;

/// How often days with firings of a sort come, and how much goes on one.
pub(super) struct Pace {
    /// The last of them.
    pub(super) last: Date,
    /// Mean days from one to the next.
    pub(super) mean: f64,
    /// Spread of these days, standard deviation of the sample.
    spread: f64,
    gaps: f64,
    /// Mean shelf covered in one, m².
    area: f64,
    /// Mean pieces in one.
    pieces: f64,
}

impl Pace {
    /// The pace until a day: today, or the day of a firing that is planned. When the past says too
    /// little, how many it has, in words.
    pub(super) fn of(fired: &[&PastFiring], until: Date) -> Result<Self, String> {
        let mut days: Vec<Date> = fired.iter().map(|f| f.on).collect();
        days.sort_unstable();
        days.dedup();
        let (Some(last), true) = (days.last().copied(), days.len() >= FEWEST) else {
            let on = match days.len() {
                one if one == fired.len() => String::new(),
                1 => ", all on one day,".to_owned(),
                n => format!(", on {n} days,"),
            };
            return Err(format!("{}{on}", fired.len()));
        };
        let mut gaps: Vec<f64> = days
            .windows(2)
            .map(|w| days_between(w[0], w[1]) as f64)
            .collect();
        let mean = |gaps: &[f64]| gaps.iter().sum::<f64>() / gaps.len() as f64;
        let lasts = days_between(last, until) as f64;
        if lasts > mean(&gaps) {
            gaps.push(lasts);
        }
        let (count, mean) = (gaps.len() as f64, mean(&gaps));
        let square: f64 = gaps.iter().map(|g| (g - mean) * (g - mean)).sum();
        let loads = days.len() as f64;
        Ok(Self {
            last,
            mean,
            spread: (square / (count - 1.0)).sqrt(),
            gaps: count,
            area: fired.iter().map(|f| f.area.to_m2()).sum::<f64>() / loads,
            pieces: fired.iter().map(|f| f.pieces as f64).sum::<f64>() / loads,
        })
    }

    /// In which firing from now the piece goes when loads are filled to the brim, and when the one it
    /// would just fit goes without it. By shelf where the past says it, else by count.
    pub(super) fn loads(&self, before: &[&&Waiting], piece: &Waiting) -> Option<(f64, f64)> {
        let (ahead, own, one) = if self.area > 0.0 {
            let ahead = before.iter().map(|w| w.area.to_m2().max(0.0)).sum::<f64>();
            (ahead, piece.area.to_m2().max(0.0), self.area)
        } else {
            (before.len() as f64, 1.0, self.pieces)
        };
        if one <= 0.0 {
            return None;
        }
        // A load that is full but for the rounding of a sum is full.
        let sooner = 1.0 + (ahead / one + 1e-9).floor();
        let later = ((ahead + own) / one - 1e-9).ceil().max(sooner);
        Some((sooner.min(MOST_LOADS), later.min(MOST_LOADS)))
    }

    /// Days from today to the start of the k-th firing, at the soonest.
    pub(super) fn soonest(&self, loads: f64, since: f64) -> f64 {
        // Doubt grows with k and could outrun the mean; a later load is never sooner for that.
        let firsts = counted(loads).map(|k| self.due(k, since) - self.doubt(k));
        firsts.fold(0.0, f64::max)
    }

    /// The same at the latest.
    pub(super) fn latest(&self, loads: f64, since: f64) -> f64 {
        self.due(loads, since) + self.doubt(loads)
    }

    /// Days from today to the mean day of the k-th: an overdue firing is due today.
    fn due(&self, k: f64, since: f64) -> f64 {
        k * self.mean - since.min(self.mean)
    }

    fn doubt(&self, k: f64) -> f64 {
        let width = student(self.gaps - 1.0) * self.spread * (k + k * k / self.gaps).sqrt();
        width.max(NARROWEST)
    }
}

fn counted(loads: f64) -> impl Iterator<Item = f64> {
    (1..=loads as u32).map(f64::from)
}

/// Four of five cases lie within so many spreads, by degrees of freedom (Student's table, from memory).
fn student(freedom: f64) -> f64 {
    const TABLE: [(f64, f64); 8] = [
        (1.0, 3.08),
        (2.0, 1.89),
        (3.0, 1.64),
        (4.0, 1.53),
        (6.0, 1.44),
        (10.0, 1.37),
        (20.0, 1.33),
        (f64::INFINITY, 1.28),
    ];
    let row = TABLE.iter().rev().find(|(from, _)| freedom >= *from);
    row.map_or(3.08, |(_, t)| *t)
}
