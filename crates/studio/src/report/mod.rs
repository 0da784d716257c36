//! What the book tells over months: pure functions of firings and ware, a file a report. No plan is read.

mod gather;
mod losses;
mod months;
mod waits;

use std::collections::BTreeMap;

use glost_model::book::{Firing, FiringState, Ware};
use glost_model::{Energy, Money};
use jiff::civil::Date;
use jiff::tz::TimeZone;

pub use gather::{By, Gathered, gather};
pub use losses::{Loss, Losses, losses};
pub use months::{Month, months};
pub use waits::{Waits, waits};

/// All that is told of some days.
#[derive(Debug, Clone, PartialEq)]
pub struct Report {
    /// Firings that were started in them.
    pub firings: usize,
    /// By month and kiln.
    pub months: Vec<Month>,
    /// What was lost.
    pub losses: Losses,
    /// How long ware waited.
    pub waits: Option<Waits>,
    /// Where faults gather.
    pub gathered: [(By, Vec<Gathered>); 3],
}

impl Report {
    /// Of these books.
    pub fn of(books: &Books<'_>) -> Self {
        Self {
            firings: books.firings(),
            months: months(books),
            losses: losses(books),
            waits: waits(books),
            gathered: [By::Clay, By::Glaze, By::Tier].map(|by| (by, gather(books, by))),
        }
    }
}

/// What the reports are made from.
#[derive(Debug)]
pub struct Books<'a> {
    firings: BTreeMap<&'a str, &'a Firing>,
    ware: Vec<&'a Ware>,
    zone: TimeZone,
}

impl<'a> Books<'a> {
    /// Firings that were started between two days, both among them, and the ware.
    pub fn new(
        firings: impl IntoIterator<Item = &'a Firing>,
        ware: impl IntoIterator<Item = &'a Ware>,
        zone: TimeZone,
        (from, to): (Option<Date>, Option<Date>),
    ) -> Self {
        let within = |f: &&Firing| {
            day(f, &zone).is_some_and(|d| {
                from.is_none_or(|from| from <= d)
                    && to.is_none_or(|to| d <= to)
                    && f.state != FiringState::CalledOff
            })
        };
        Self {
            firings: firings
                .into_iter()
                .filter(within)
                .map(|f| (f.id.as_str(), f))
                .collect(),
            ware: ware.into_iter().collect(),
            zone,
        }
    }

    /// How many firings are looked at.
    pub fn firings(&self) -> usize {
        self.firings.len()
    }

    /// Each piece with each of these firings that it stood in, and its tier there.
    fn stood(&self) -> impl Iterator<Item = (&'a Ware, &'a Firing, &'a str)> + '_ {
        self.ware.iter().copied().flat_map(move |w| {
            w.stood.iter().filter_map(move |s| {
                let firing = self.firings.get(s.firing.as_str())?;
                Some((w, *firing, s.tier.as_str()))
            })
        })
    }
}

/// Day on which a firing was started.
pub fn day(firing: &Firing, zone: &TimeZone) -> Option<Date> {
    Some(firing.started?.to_zoned_datetime(zone.clone()).date())
}

/// Energy by the meter, or else as foreseen; whether it was metered.
pub fn energy(firing: &Firing) -> Option<(Energy, bool)> {
    match (firing.metered(), firing.summary.energy_j) {
        (Some(e), _) => Some((e, true)),
        (None, Some(e)) => Some((e, false)),
        (None, None) => None,
    }
}

/// Cost as foreseen; where the meter was read, in the same measure as its energy differs from what was foreseen.
pub fn cost(firing: &Firing) -> Option<Money> {
    let foreseen = firing.summary.cost_cents?;
    let share = match (firing.metered(), firing.summary.energy_j) {
        (Some(m), Some(f)) if f.to_j() > 0.0 => m.to_j() / f.to_j(),
        _ => 1.0,
    };
    Some(Money::units(foreseen.to_units() * share))
}

/// A share of a count; nothing where there is nothing to be a share of.
pub fn share(part: usize, whole: usize) -> Option<f64> {
    (whole > 0).then(|| part as f64 / whole as f64)
}
