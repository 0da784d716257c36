//! Firings by month and kiln.

use std::collections::BTreeMap;

use glost_model::{Energy, Mass, Money};

use super::{Books, cost, day, energy};

/// Year and month, and kiln.
type Of<'a> = ((i16, i8), &'a str);

/// One kiln in one month.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Month {
    /// Year and month.
    pub month: (i16, i8),
    /// Kiln.
    pub kiln: String,
    /// Firings that were started.
    pub firings: usize,
    /// Pieces in them, and their mass.
    pub pieces: usize,
    /// Mass of the pieces.
    pub mass: Mass,
    /// Mean share of shelf area covered, of firings with a plan.
    pub fill: Option<f64>,
    /// Energy of the firings that tell it.
    pub energy: Energy,
    /// So many tell their energy.
    pub with_energy: usize,
    /// So many were metered.
    pub metered: usize,
    /// Cost of the firings that tell it.
    pub cost: Money,
    /// So many tell their cost.
    pub with_cost: usize,
    /// Mass in firings that tell their energy.
    mass_with_energy: Mass,
    /// Mass in firings that tell their cost.
    mass_with_cost: Mass,
}

impl Month {
    /// Energy a firing.
    pub fn energy_each(&self) -> Option<Energy> {
        (self.with_energy > 0).then(|| Energy::j(self.energy.to_j() / self.with_energy as f64))
    }
    /// Energy a kilogram of ware.
    pub fn energy_a_kg(&self) -> Option<Energy> {
        let kg = self.mass_with_energy.to_kg();
        (kg > 0.0).then(|| Energy::j(self.energy.to_j() / kg))
    }
    /// Cost a firing.
    pub fn cost_each(&self) -> Option<Money> {
        (self.with_cost > 0).then(|| Money::units(self.cost.to_units() / self.with_cost as f64))
    }
    /// Cost a kilogram of ware.
    pub fn cost_a_kg(&self) -> Option<Money> {
        let kg = self.mass_with_cost.to_kg();
        (kg > 0.0).then(|| Money::units(self.cost.to_units() / kg))
    }
}

/// The latest month first, kilns by name.
pub fn months(books: &Books<'_>) -> Vec<Month> {
    let mut held: BTreeMap<&str, (usize, Mass)> = BTreeMap::new();
    for (ware, firing, _) in books.stood() {
        let (pieces, mass) = held.entry(&firing.id).or_insert((0, Mass::ZERO));
        *pieces += 1;
        *mass += ware.piece.mass;
    }
    let mut all: BTreeMap<Of<'_>, (Month, Vec<f64>)> = BTreeMap::new();
    for firing in books.firings.values() {
        let Some(day) = day(firing, &books.zone) else {
            continue;
        };
        let month = (day.year(), day.month());
        let (m, fills) = all.entry((month, &firing.kiln)).or_default();
        m.month = month;
        m.kiln.clone_from(&firing.kiln);
        m.firings += 1;
        let (pieces, mass) = held
            .get(firing.id.as_str())
            .copied()
            .unwrap_or((0, Mass::ZERO));
        m.pieces += pieces;
        m.mass += mass;
        if firing.summary.tiers > 0 {
            fills.push(firing.summary.fill);
        }
        if let Some((e, metered)) = energy(firing) {
            m.energy += e;
            m.with_energy += 1;
            m.metered += usize::from(metered);
            m.mass_with_energy += mass;
        }
        if let Some(c) = cost(firing) {
            m.cost = m.cost + c;
            m.with_cost += 1;
            m.mass_with_cost += mass;
        }
    }
    let mut out: Vec<Month> = all
        .into_values()
        .map(|(mut m, fills)| {
            m.fill = (!fills.is_empty()).then(|| fills.iter().sum::<f64>() / fills.len() as f64);
            m
        })
        .collect();
    out.sort_by(|a, b| b.month.cmp(&a.month).then_with(|| a.kiln.cmp(&b.kiln)));
    out
}
