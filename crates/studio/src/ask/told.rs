//! A firing from a start on: times, energy, cost and cones with their bands.

use glost_model::doubt::{Band, TimeBand};
use glost_model::forecast::ZoneResult;
use glost_model::studio::Studio;
use glost_model::{Energy, Money, Power, Span, Temperature};
use jiff::ZonedDateTime;

use super::Foretold;
use super::cheapest::There;
use super::moment::later;

/// A moment with its band; nothing where the firing, or so many of the draws, never come to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Times {
    /// By the forecast.
    pub about: Option<ZonedDateTime>,
    /// In nine of ten draws it is later.
    pub low: Option<ZonedDateTime>,
    /// In nine of ten draws it is sooner.
    pub high: Option<ZonedDateTime>,
}

/// An amount with its band.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    /// By the forecast, priced hour by hour.
    pub about: Money,
    /// Over the draws.
    pub band: Band<Money>,
    /// For the highest draw, if no other in the bill's period is higher; not in the amounts above.
    pub draw: Option<Money>,
}

/// What a zone gets.
#[derive(Debug, Clone, PartialEq)]
pub struct ZoneTold {
    /// By the forecast.
    pub about: ZoneResult,
    /// Over the draws.
    pub cone_position: Band<f64>,
    /// Draws in which it falls short by more than half a cone.
    pub short: u32,
    /// Draws in which it goes past by more than half a cone.
    pub past: u32,
}

/// A firing from a start on.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// The hold at the peak.
    pub hold: Span,
    /// It is over.
    pub peak_over: Times,
    /// Whether somebody is there then.
    pub there: There,
    /// The programme is over.
    pub over: Times,
    /// The kiln may be opened.
    pub open: Times,
    /// It may be when sensor and ware are below this.
    pub open_below: Temperature,
    /// Energy by the forecast.
    pub energy: Energy,
    /// Over the draws.
    pub energy_band: Band<Energy>,
    /// Highest mean power over a quarter of an hour.
    pub highest: Power,
    /// What it costs; nothing where energy has no price.
    pub cost: Option<Cost>,
    /// Zones from the floor up.
    pub zones: Vec<ZoneTold>,
    /// Draws in which the programme never ends or the middle falls short.
    pub missed: u32,
    /// How many draws there are.
    pub draws: u32,
    /// The kiln can do it and the forecast sees nothing wrong.
    pub feasible: bool,
}

impl Foretold {
    /// The programme is over, by the forecast.
    pub fn over(&self) -> Option<Span> {
        let ends = self.forecast.segments_over_s.len() == self.firing.segments.len();
        ends.then_some(self.forecast.firing_s)
    }

    /// It may be opened, by the forecast.
    pub fn open(&self) -> Option<Span> {
        let mut cooled = self.forecast.cooled.iter();
        let open = cooled.find(|c| c.below_c == self.open_below)?;
        self.over().and(open.time_s)
    }

    /// What it comes to from a start on.
    pub fn told(&self, studio: &Studio, start: &ZonedDateTime) -> Told {
        let f = &self.forecast;
        let peak_over = times(
            start,
            f.peak_over(&self.firing),
            self.all.times(|d| d.peak_over),
        );
        let peak = self.firing.peak().and_then(|p| self.firing.segments.get(p));
        let zones = f.zones.iter().zip(self.all.zones());
        Told {
            hold: peak.map_or(Span::ZERO, |s| s.hold),
            there: There::of(&studio.hours, &peak_over),
            peak_over,
            over: times(start, self.over(), self.all.times(|d| d.over)),
            open: times(start, self.open(), self.all.times(|d| d.open)),
            open_below: self.open_below,
            energy: f.energy_j,
            energy_band: self.all.band(|d| d.forecast.energy_j.to_j()).map(Energy::j),
            highest: f.highest_w,
            cost: self.cost(studio, start),
            zones: zones
                .map(|(about, z)| ZoneTold {
                    about: about.clone(),
                    cone_position: z.cone_position,
                    short: z.short,
                    past: z.past,
                })
                .collect(),
            missed: self.all.missed(),
            draws: u32::try_from(self.all.draws.len()).unwrap_or(u32::MAX),
            feasible: f.feasible,
        }
    }

    fn cost(&self, studio: &Studio, start: &ZonedDateTime) -> Option<Cost> {
        let tariff = &studio.tariff;
        let priced = tariff.per_kwh > 0.0 || tariff.times.iter().any(|t| t.per_kwh > 0.0);
        (priced || tariff.per_kw > 0.0).then(|| Cost {
            about: tariff.cost_from(start, &self.forecast.drawn()),
            band: self
                .all
                .money(|d| tariff.cost_from(start, &d.forecast.drawn())),
            draw: (tariff.per_kw > 0.0).then(|| tariff.cost_of_draw(self.forecast.highest_w)),
        })
    }
}

fn times(start: &ZonedDateTime, about: Option<Span>, band: TimeBand) -> Times {
    let at = |span: Option<Span>| later(start, span?);
    // What the forecast says lies in its band, however few the draws.
    let low = about.map_or(band.low, |a| band.low.map(|l| l.min(a)));
    let high = about.map_or(band.high, |a| band.high.map(|h| h.max(a)));
    Times {
        about: at(about),
        low: at(low),
        high: at(high),
    }
}
