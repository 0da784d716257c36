//! Kilns that are not like the model, to try on what learns from firings and what watches them.
//!
//! A model that is fitted to its own output only inverts itself. These kilns are cut another way (equal slices by
//! rings, walls in two dimensions), radiate through one mean radiosity a slice, leak as a chimney does, have mortar
//! joints, a jacket that does not touch, inner ware in the shadow of outer ware, mains and a room that wander, relays
//! that click, a controller with other gains that winds up, and a sensor with a sheath, noise and errors of its own.
//! What they are made of is drawn wider than [`crate::doubt::PRIORS`] say. They age from firing to firing.
//!
//! All figures here are drawn from ranges proposed for the purpose; none is a measurement.

mod burn;
mod chance;
mod column;
mod control;
mod fault;
mod grid;
mod load;
mod nature;
mod radiate;
mod room;
mod sense;
mod step;
#[cfg(test)]
mod tests;
mod truth;

pub use burn::Burn;
pub use fault::{Fault, Planted};
pub use truth::{Fired, Ledger, TierTruth, Truth};

use glost_model::Span;
use glost_model::firing::FiringPlan;
use jiff::Timestamp;

use crate::kiln::KilnInput;
use chance::Chance;
use nature::{Nature, Today};

/// A kiln of brick and wire, as it is after so many firings.
#[derive(Debug, Clone)]
pub struct StrangeKiln {
    base: KilnInput,
    nature: Nature,
    /// Resistance of each band over that at the first firing.
    worn: Vec<f64>,
    /// How far the sensor has come since then, as a share of what it reads in °C.
    drifted: f64,
    fired: u64,
    seed: u64,
}

impl StrangeKiln {
    /// Draws a kiln that somebody would describe as `base`. The same seed draws the same kiln.
    pub fn draw(seed: u64, base: &KilnInput) -> Self {
        let nature = Nature::draw(&mut Chance::new(seed, 0), base);
        Self {
            worn: vec![1.0; base.bands.len()],
            drifted: 0.0,
            fired: 0,
            base: base.clone(),
            nature,
            seed,
        }
    }

    /// How many firings it has had.
    pub fn firings(&self) -> u64 {
        self.fired
    }

    /// Power of all elements over that of the nameplate, at the nameplate's voltage, as it is now.
    pub fn power(&self) -> f64 {
        let all: f64 = self.base.bands.iter().map(|b| b.power.to_w()).sum();
        let bands = self.base.bands.iter().zip(self.band_power());
        bands.map(|(b, share)| b.power.to_w() * share).sum::<f64>() / all
    }

    /// How many times its first resistance a band has now.
    pub fn worn(&self, band: usize) -> Option<f64> {
        self.worn.get(band).copied()
    }

    /// Puts new elements in: each band is as it was at first.
    pub fn new_elements(&mut self) {
        self.worn.fill(1.0);
    }

    /// The same kiln, worn as it is, with another day ahead: other weather, mains and hands.
    pub fn another_day(&self, number: u64) -> Self {
        Self {
            // Days are told apart by the firing that they are; no kiln has so many.
            fired: self.fired + 1_000_000 * (number + 1),
            ..self.clone()
        }
    }

    fn band_power(&self) -> Vec<f64> {
        let own = self.nature.bands.iter().zip(&self.worn);
        own.map(|(share, worn)| self.nature.power * share / worn)
            .collect()
    }

    /// Loads it as `load` says (shelves, posts, ware, plugs and when to open; the rest of it is not looked at) and
    /// lights it. The kiln is worn by this firing from then on, whether or not it is watched to its end.
    pub fn begin(
        &mut self,
        plan: &FiringPlan,
        load: &KilnInput,
        faults: &[Planted],
        start: Timestamp,
        every: Span,
    ) -> Burn {
        let mut chance = Chance::new(self.seed, self.fired + 1);
        let today = Today::draw(&mut chance, &self.nature, self.band_power(), self.drifted);
        self.wear(&mut chance, plan);
        Burn::new(
            burn::Begun {
                base: &self.base,
                nature: &self.nature,
                today,
                load,
                faults: faults.to_vec(),
            },
            plan,
            start,
            every,
            chance,
        )
    }

    /// Fires it and waits until it can be unloaded.
    pub fn fire(
        &mut self,
        plan: &FiringPlan,
        load: &KilnInput,
        faults: &[Planted],
        start: Timestamp,
        every: Span,
    ) -> Fired {
        let mut burn = self.begin(plan, load, faults, start, every);
        let samples = burn.by_ref().collect();
        Fired {
            samples,
            truth: burn.truth(),
        }
    }

    /// Hotter firings wear more: a firing at cone 04 a third of one at cone 6, as for sensors.
    fn wear(&mut self, chance: &mut Chance, plan: &FiringPlan) {
        let hot = glost_model::book::upkeep::sensor_weight(plan.cone) / 3.0;
        for worn in &mut self.worn {
            *worn *= 1.0 + hot * self.nature.ages * chance.between(0.6, 1.4);
        }
        self.drifted += hot * self.nature.drifts * chance.between(0.4, 1.6);
        self.fired += 1;
    }
}
