//! Numbers by chance, the same for the same seed.

use std::f64::consts::TAU;

use rand::RngExt as _;
use rand::SeedableRng as _;
use rand_chacha::ChaCha8Rng;

/// A stream of numbers.
#[derive(Debug, Clone)]
pub struct Chance(ChaCha8Rng);

impl Chance {
    /// Streams of one seed have nothing to do with each other.
    pub fn new(seed: u64, stream: u64) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(stream);
        Self(rng)
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.0.random_range(0.0..1.0)
    }

    /// By the normal law (Box and Muller), cut off at three deviations.
    pub fn normal(&mut self, deviation: f64) -> f64 {
        let (u, v) = (self.between(1e-12, 1.0), self.between(0.0, TAU));
        ((-2.0 * u.ln()).sqrt() * v.cos()).clamp(-3.0, 3.0) * deviation
    }

    /// A factor about 1, normal in the logarithm.
    pub fn factor(&mut self, deviation: f64) -> f64 {
        self.normal(deviation).exp()
    }

    pub fn coin(&mut self, chance: f64) -> bool {
        self.between(0.0, 1.0) < chance
    }
}
