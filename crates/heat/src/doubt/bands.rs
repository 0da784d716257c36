//! From draws to bands.

use glost_model::doubt::{Band, BandAt, Doubt, Margin, TimeBand, ZoneDoubt};
use glost_model::forecast::{Forecast, Sample};
use glost_model::tariff::Tariff;
use glost_model::{Energy, Money, Span, Temperature};

use super::{Draw, Ensemble, MISSED};

/// Most instants of the curve.
const INSTANTS: f64 = 160.0;
/// Instants lie at multiples of this, s; the simulation is looked at as often.
const STEP_S: f64 = 300.0;

impl Ensemble {
    /// The band of a figure.
    pub fn band(&self, of: impl Fn(&Draw) -> f64) -> Band<f64> {
        band(self.draws.iter().map(of).collect())
    }

    /// The band of a time; what a draw never comes to counts as later than all others.
    pub fn times(&self, of: impl Fn(&Draw) -> Option<Span>) -> TimeBand {
        let known = |s: f64| s.is_finite().then(|| Span::s(s));
        self.band(|d| of(d).map_or(f64::INFINITY, Span::to_s))
            .map(known)
    }

    /// The band of an amount of money.
    pub fn money(&self, of: impl Fn(&Draw) -> Money) -> Band<Money> {
        self.band(|d| of(d).to_units()).map(Money::units)
    }

    /// Zones from the floor up.
    pub fn zones(&self) -> Vec<ZoneDoubt> {
        let first = self.draws.first().map(|d| d.forecast.zones.as_slice());
        let zones = first.unwrap_or_default().iter().enumerate();
        zones
            .map(|(i, z)| {
                let off = |d: &Draw| position(&d.forecast, i) - self.cone.position();
                let count = |is: &dyn Fn(&Draw) -> bool| self.count(is);
                ZoneDoubt {
                    tiers: z.tiers.clone(),
                    cone_position: self.band(|d| position(&d.forecast, i)),
                    short: count(&|d| off(d) < -MISSED),
                    past: count(&|d| off(d) > MISSED),
                }
            })
            .collect()
    }

    /// Draws in which the programme never ends or the middle falls short of its cone.
    pub fn missed(&self) -> u32 {
        let least = self.cone.position() - MISSED;
        self.count(&|d| d.over.is_none() || position(&d.forecast, self.reference) < least)
    }

    fn count(&self, is: &dyn Fn(&Draw) -> bool) -> u32 {
        u32::try_from(self.draws.iter().filter(|d| is(d)).count()).unwrap_or(u32::MAX)
    }

    /// The spread of temperatures over time. A kiln that has cooled down to where its forecast ends stays there.
    pub fn curve(&self) -> Vec<BandAt> {
        let lasts = self.draws.iter().filter_map(|d| d.forecast.samples.last());
        let end_s = lasts.map(|s| s.time_s.to_s()).fold(0.0, f64::max);
        let step_s = (end_s / INSTANTS / STEP_S).ceil().max(1.0) * STEP_S;
        let count = (end_s / step_s).ceil() as usize;
        let mut curves: Vec<Curve<'_>> = self
            .draws
            .iter()
            .map(|d| Curve {
                samples: &d.forecast.samples,
                next: 0,
            })
            .collect();
        (0..=count)
            .map(|i| {
                let time = Span::s(i as f64 * step_s);
                let at: Vec<[f64; 2]> = curves
                    .iter_mut()
                    .map(|c| c.at(time, self.reference))
                    .collect();
                let of =
                    |which: usize| band(at.iter().map(|t| t[which]).collect()).map(Temperature::k);
                BandAt {
                    time_s: time,
                    sensor_c: of(0),
                    ware_c: of(1),
                }
            })
            .collect()
    }

    /// All of it.
    pub fn doubt(&self, tariff: &Tariff, margin: Margin) -> Doubt {
        let priced = tariff.per_kwh > 0.0 || tariff.times.iter().any(|t| t.per_kwh > 0.0);
        Doubt {
            draws: self.count(&|_| true),
            seed: self.seed,
            peak_over_s: self.times(|d| d.peak_over),
            over_s: self.times(|d| d.over),
            open_s: self.times(|d| d.open),
            open_below_c: self.open_below,
            energy_j: self.band(|d| d.forecast.energy_j.to_j()).map(Energy::j),
            cost_cents: priced.then(|| self.money(|d| d.forecast.cost_cents)),
            zones: self.zones(),
            missed: self.missed(),
            curve: self.curve(),
            margin,
        }
    }
}

fn position(forecast: &Forecast, zone: usize) -> f64 {
    forecast
        .zones
        .get(zone)
        .map_or(f64::NAN, |z| z.cone_position)
}

/// A forecast's curve, asked at rising times.
struct Curve<'f> {
    samples: &'f [Sample],
    next: usize,
}

impl Curve<'_> {
    /// Sensor and ware of a zone, K, on the straight line between two samples.
    fn at(&mut self, time: Span, zone: usize) -> [f64; 2] {
        let of = |s: &Sample| {
            let ware = s.ware_c.get(zone).copied().unwrap_or(s.sensor_c);
            [s.sensor_c.to_k(), ware.to_k()]
        };
        while self.samples.get(self.next).is_some_and(|s| s.time_s < time) {
            self.next += 1;
        }
        let before = self.next.checked_sub(1).and_then(|i| self.samples.get(i));
        match (before, self.samples.get(self.next)) {
            (Some(a), Some(b)) => {
                let share = (time - a.time_s) / (b.time_s - a.time_s);
                let (x, y) = (of(a), of(b));
                [0, 1].map(|i| x[i] + (y[i] - x[i]) * share)
            }
            (Some(s), None) | (None, Some(s)) => of(s),
            (None, None) => [f64::NAN; 2],
        }
    }
}

/// Sorted, with the ranks between two draws on the straight line between them.
pub(crate) fn band(mut all: Vec<f64>) -> Band<f64> {
    all.sort_by(f64::total_cmp);
    let rank = |share: f64| {
        let at = share * all.len().saturating_sub(1) as f64;
        let (i, part) = (at.floor() as usize, at.fract());
        let low = all.get(i).copied().unwrap_or(f64::NAN);
        let high = all.get(i + 1).copied().unwrap_or(low);
        // What never comes is infinite; between it and another draw it is so too.
        if part <= 0.0 || low.is_infinite() {
            low
        } else {
            low + (high - low) * part
        }
    };
    Band {
        low: rank(0.1),
        middle: rank(0.5),
        high: rank(0.9),
    }
}
