//! What energy costs: by the kilowatt hour, by the time of day, and by the highest draw.

use jiff::civil::Time;
use jiff::{SignedDuration, ZonedDateTime};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::{Energy, Money, Power, Span};

/// What stands for a cost of before there was a price.
pub const NO_PRICE: &str = "no price set";

/// Price of energy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Tariff {
    /// Code or sign shown with amounts.
    pub currency: String,
    /// Price of one kilowatt hour, at all times that have no price of their own.
    pub per_kwh: f64,
    /// Price of one kilowatt of the highest quarter of an hour in a bill's period.
    #[serde(default)]
    pub per_kw: f64,
    /// Times of day with a price of their own; the first that fits counts.
    #[serde(default)]
    pub times: Vec<PriceTime>,
}

/// A time of day with a price of its own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PriceTime {
    /// From this time.
    #[schemars(with = "String")]
    pub from: Time,
    /// To this time; at or before `from` it lies on the next day.
    #[schemars(with = "String")]
    pub to: Time,
    /// On these days, from Monday to Sunday. The hours after midnight belong to the day before.
    pub days: [bool; 7],
    /// Price of one kilowatt hour.
    pub per_kwh: f64,
}

/// Draws are metered over this.
const METERED: Span = Span::minutes(15.0);

impl PriceTime {
    fn holds(&self, at: &ZonedDateTime) -> bool {
        let on = |back: bool| {
            let day = at.weekday().to_monday_zero_offset();
            let day = if back { day + 6 } else { day } % 7;
            usize::try_from(day).ok().and_then(|d| self.days.get(d)) == Some(&true)
        };
        let time = at.time();
        if self.from < self.to {
            on(false) && time >= self.from && time < self.to
        } else {
            (on(false) && time >= self.from) || (on(true) && time < self.to)
        }
    }
}

impl Tariff {
    /// One price at all times.
    pub fn flat(currency: &str, per_kwh: f64) -> Self {
        Self {
            currency: currency.to_owned(),
            per_kwh,
            per_kw: 0.0,
            times: Vec::new(),
        }
    }

    /// Whether anybody has set a price; without one every firing would seem to cost nothing.
    pub fn has_price(&self) -> bool {
        self.per_kwh > 0.0 || self.per_kw > 0.0 || self.times.iter().any(|t| t.per_kwh > 0.0)
    }

    /// An amount with its currency: `4.20 EUR`.
    pub fn told(&self, amount: Money) -> String {
        format!("{:.2} {}", amount.to_units(), self.currency)
    }

    /// What energy costs, in words: an amount, or that no price is set.
    pub fn cost_told(&self, amount: Money) -> String {
        if self.has_price() || amount != Money::ZERO {
            self.told(amount)
        } else {
            NO_PRICE.to_owned()
        }
    }

    /// What this much energy costs when nobody says at what time it is drawn.
    pub fn cost(&self, energy: Energy) -> Money {
        Money::units(self.per_kwh * energy.to_kwh())
    }

    /// The price of a kilowatt hour at a time.
    pub fn price(&self, at: &ZonedDateTime) -> f64 {
        let own = self.times.iter().find(|t| t.holds(at));
        own.map_or(self.per_kwh, |t| t.per_kwh)
    }

    /// What a firing costs that starts at a time: `drawn` is the energy since the start by the time since the
    /// start, rising. Each part is priced at its middle, so keep the parts short.
    pub fn cost_from(&self, start: &ZonedDateTime, drawn: &[(Span, Energy)]) -> Money {
        let parts = drawn.windows(2).map(|w| {
            let ((a, e), (b, f)) = (w[0], w[1]);
            let middle = SignedDuration::from_secs_f64((a + (b - a) / 2.0).to_s());
            let price = start
                .checked_add(middle)
                .map_or(self.per_kwh, |at| self.price(&at));
            price * (f - e).to_kwh()
        });
        Money::units(parts.sum())
    }

    /// What the highest draw costs if no other in the bill's period is higher.
    pub fn cost_of_draw(&self, highest: Power) -> Money {
        Money::units(self.per_kw * highest.to_kw())
    }
}

/// The highest mean over a quarter of an hour.
pub fn highest_draw(drawn: &[(Span, Energy)]) -> Power {
    let mut first = 0;
    let mut highest = 0.0_f64;
    for (i, (at, energy)) in drawn.iter().enumerate() {
        while first + 1 < i && *at - drawn[first + 1].0 >= METERED {
            first += 1;
        }
        let (since, before) = drawn[first];
        let took = (*at - since).to_s();
        if took >= METERED.to_s() - 1e-6 {
            highest = highest.max((*energy - before).to_j() / took);
        }
    }
    Power::w(highest)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn night() -> Tariff {
        Tariff {
            currency: "EUR".into(),
            per_kwh: 0.40,
            per_kw: 5.0,
            times: vec![PriceTime {
                from: jiff::civil::time(22, 0, 0, 0),
                to: jiff::civil::time(6, 0, 0, 0),
                days: [true, true, true, true, true, false, false],
                per_kwh: 0.20,
            }],
        }
    }

    /// 2 kW all along, every five minutes.
    fn steady(hours: u32) -> Vec<(Span, Energy)> {
        (0..=hours * 12)
            .map(|i| {
                (
                    Span::minutes(f64::from(i) * 5.0),
                    Energy::kwh(f64::from(i) / 6.0),
                )
            })
            .collect()
    }

    fn at(text: &str) -> ZonedDateTime {
        text.parse().unwrap()
    }

    #[test]
    fn each_hour_has_its_price() {
        // Thursday 20:00 to Friday 08:00: four hours by day, eight by night.
        let cost = night().cost_from(&at("2026-11-26T20:00[Europe/Dublin]"), &steady(12));
        assert!((cost.to_units() - (8.0 * 0.40 + 16.0 * 0.20)).abs() < 0.011);
        // The night of Friday runs into Saturday; that of Saturday is no night by this tariff.
        assert!((night().price(&at("2026-11-28T05:00[Europe/Dublin]")) - 0.20).abs() < 1e-9);
        assert!((night().price(&at("2026-11-28T23:00[Europe/Dublin]")) - 0.40).abs() < 1e-9);
    }

    #[test]
    fn the_night_on_which_clocks_go_back_has_an_hour_more_of_it() {
        // From Saturday's end only: the tariff of all days. 25 October 2026, 02:00 comes twice.
        let mut all = night();
        all.times[0].days = [true; 7];
        let cost = all.cost_from(&at("2026-10-24T22:00[Europe/Dublin]"), &steady(12));
        // Nine hours by night, three by day.
        assert!((cost.to_units() - (18.0 * 0.20 + 6.0 * 0.40)).abs() < 0.011);
    }

    #[test]
    fn the_highest_quarter_counts_and_not_the_highest_instant() {
        let mut drawn = steady(2);
        assert!((highest_draw(&drawn).to_kw() - 2.0).abs() < 1e-9);
        for (_, e) in drawn.iter_mut().skip(7) {
            *e += Energy::kwh(0.5);
        }
        // Half a kilowatt hour more within one quarter: 2 kW more.
        assert!((highest_draw(&drawn).to_kw() - 4.0).abs() < 1e-9);
        assert!((night().cost_of_draw(Power::kw(4.0)).to_units() - 20.0).abs() < 1e-9);
        assert!(highest_draw(&[]).to_kw().abs() < 1e-9);
    }
}
