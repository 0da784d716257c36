//! What the kiln's sensor shows.

use super::chance::Chance;
use super::fault::Wrong;
use super::nature::Sheath;
use super::step::Stepper;
use crate::network::link::SIGMA;

/// A sensor in its sheath beside one slice.
#[derive(Debug, Clone)]
pub struct Sensor {
    sheath: Sheath,
    slice: usize,
    /// Of the tip, K.
    tip_k: f64,
    /// Share of T in °C that it has drifted in past firings.
    drifted: f64,
}

impl Sensor {
    pub fn new(sheath: Sheath, slice: usize, drifted: f64, start_k: f64) -> Self {
        Self {
            sheath,
            slice,
            tip_k: start_k,
            drifted,
        }
    }

    /// What it sees: its slice, some wall, some element.
    fn around_k(&self, kiln: &Stepper) -> f64 {
        let Some(s) = kiln.grid.slices.get(self.slice) else {
            return self.tip_k;
        };
        let black = |t: f64| SIGMA * t.powi(4);
        let at = |node: usize| kiln.temps.get(node).copied().unwrap_or(self.tip_k);
        let wall = black(at(s.wall));
        let element = s.element.map_or(wall, |e| black(at(e)));
        let space = black(kiln.space_k(self.slice).max(250.0));
        let (w, e) = (self.sheath.wall, self.sheath.element);
        ((space * (1.0 - w - e) + wall * w + element * e) / SIGMA)
            .sqrt()
            .sqrt()
    }

    pub fn follow(&mut self, kiln: &Stepper, dt: f64) {
        let around = self.around_k(kiln);
        let trails = (self.sheath.trails_s * (1400.0 / self.tip_k).powi(3)).clamp(20.0, 900.0);
        self.tip_k += (around - self.tip_k) * (1.0 - (-dt / trails).exp());
    }

    /// `beside` is the share of its power that the band beside it draws. Without noise.
    pub fn reads_k(&self, kiln: &Stepper, wrong: &Wrong, beside: f64, room_k: f64) -> Option<f64> {
        if wrong.open {
            return None;
        }
        let s = kiln.grid.slices.get(self.slice)?;
        let behind = kiln.temps.get(s.behind).copied().unwrap_or(self.tip_k);
        let tip = self.tip_k + (behind - self.tip_k) * wrong.slipped;
        let over = tip - room_k;
        let hot = (over / 1000.0).clamp(0.0, 1.2);
        let sheath = &self.sheath;
        let error = sheath.offset
            + (sheath.off + self.drifted - sheath.conducts) * over
            + sheath.beside * beside * hot
            + wrong.drift;
        let reads = if wrong.reversed {
            room_k - over
        } else {
            tip + error
        };
        Some(reads.max(223.0))
    }

    pub fn noise(&self, chance: &mut Chance) -> f64 {
        chance.normal(self.sheath.noise)
    }
}
