//! Rounds of improvement: part of a shelf or two is cleared, what is out is put in again in some
//! order, and the result is kept when it is better or not much worse. Sources of the method:
//! Christiaens and Vanden Berghe, Slack induction by string removals, Transportation Science 54
//! (2020); Kirkpatrick et al., Optimization by simulated annealing, Science 220 (1983).

use rand::RngExt as _;
use rand_chacha::ChaCha8Rng;

use super::filling::{Filling, Task};

/// Rounds from warm to cold; then it warms up again from the best.
const CYCLE: u32 = 1500;
/// Warmest and coldest, in shares of the middling worth of a set.
const WARM: f64 = 0.5;
const COLD: f64 = 0.01;
/// Sets looked at in one round, and places looked for in vain after which it ends: what comes last is
/// worth least. Measured on the demo and made-up studios: 8 to 20 serve alike, all of them far worse.
const LOOKED_AT: usize = 60;
const MISSES: u64 = 12;

/// A search under way on one stack.
pub struct Rounds {
    /// The best found.
    pub best: Filling,
    at: Filling,
    rng: ChaCha8Rng,
    round: u32,
    middling: f64,
}

impl Rounds {
    /// Starts from a filling.
    pub fn new(task: &Task<'_, '_, '_>, from: Filling, rng: ChaCha8Rng) -> Self {
        let mut values = task.sets.value.clone();
        values.sort_by(f64::total_cmp);
        Self {
            best: from.clone(),
            at: from,
            rng,
            round: 0,
            middling: values.get(values.len() / 2).copied().unwrap_or(0.0),
        }
    }

    /// Takes over a better filling found elsewhere.
    pub fn adopt(&mut self, other: &Filling) {
        if other.value > self.best.value {
            self.best = other.clone();
            self.at = other.clone();
        }
    }

    /// One round.
    pub fn round(&mut self, task: &Task<'_, '_, '_>) {
        let cooled = f64::from(self.round % CYCLE) / f64::from(CYCLE);
        if self.round.is_multiple_of(CYCLE) {
            self.at = self.best.clone();
        }
        self.round += 1;
        let heat = self.middling * WARM * (COLD / WARM).powf(cooled);
        let mut trial = self.at.clone();
        self.clear(task, &mut trial);
        self.refill(task, &mut trial);
        let luck: f64 = self.rng.random_range(1e-12..1.0);
        if trial.value > self.at.value + heat * luck.ln() {
            if trial.value > self.best.value + 1e-9 {
                self.best = trial.clone();
            }
            self.at = trial;
        }
    }

    /// Takes out what stands about a random place of one shelf, or of two.
    fn clear(&mut self, task: &Task<'_, '_, '_>, f: &mut Filling) {
        let rng = &mut self.rng;
        for _ in 0..rng.random_range(1..=2) {
            let Some(k) = f.busy_shelf(rng) else { return };
            let n = f.on[k].len();
            let at = f.on[k][rng.random_range(0..n)].1;
            let most = rng.random_range(1..=(n.div_ceil(2)).min(6));
            let mut near: Vec<(f64, usize)> = f.on[k]
                .iter()
                .map(|(i, p)| {
                    let far = (p[0] - at[0]).hypot(p[1] - at[1]) - task.ware[*i].body.reach_m;
                    (far, task.sets.of[*i])
                })
                .collect();
            near.sort_by(|a, b| a.0.total_cmp(&b.0));
            for (_, set) in near.into_iter().take(most) {
                f.take_out(task, set);
            }
        }
    }

    /// Puts in what finds room, in an order of the round's own.
    fn refill(&mut self, task: &Task<'_, '_, '_>, f: &mut Filling) {
        let rng = &mut self.rng;
        let sets = task.sets;
        let way = rng.random_range(0..5);
        let mut order: Vec<(f64, usize)> = f
            .outside()
            .into_iter()
            .map(|s| {
                let key = match way {
                    0 | 1 => sets.value[s] / sets.area_m2[s],
                    2 => sets.value[s],
                    3 => sets.area_m2[s],
                    _ => 1.0,
                };
                (key * rng.random_range(0.6..1.4), s)
            })
            .collect();
        order.sort_by(|a, b| b.0.total_cmp(&a.0));
        let fullest = rng.random_range(0.80..0.87);
        let mut looks = f.looks;
        for (_, s) in order.into_iter().take(LOOKED_AT) {
            if f.put_in(task, s, fullest, rng) {
                looks = f.looks;
            } else if f.looks - looks >= MISSES {
                break;
            }
        }
    }
}
