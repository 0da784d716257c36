//! The most area from more outlines than one shelf holds.

use glost_model::Area;
use glost_model::shape::Outline;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::adapter::{Place, Pose, Shape, first_order};
use super::{BareError, BareShelf, Clock, Effort, Stand, outlines_are_sizes};

/// Descents when one more is put among those that stand.
const TRIES: usize = 6;
/// Share of the time that goes to dropping upright boxes.
const ROWS_SHARE: f64 = 0.8;
/// Loss of area that is taken at first, as a share of the shelf's.
const WORSE: f64 = 0.005;
/// At most so many make way for another.
const MOST_OUT: usize = 3;

/// A choice of outlines on one shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// Area of the chosen outlines.
    pub area: Area,
    /// For each outline in its order where it stands, or nothing when it stays out.
    pub poses: Vec<Option<Stand>>,
}

struct Search {
    place: Place,
    shapes: Vec<Shape>,
    areas_m2: Vec<f64>,
    shelf_m2: f64,
    clock: Clock,
    on: Vec<(usize, Pose)>,
    rng: ChaCha8Rng,
}

/// The most area found.
///
/// # Errors
/// [`BareError::NoSize`] for an outline or shelf without a size. A shelf that holds none is no error.
pub fn most(shelf: &BareShelf, shapes: &[Outline], effort: Effort) -> Result<Chosen, BareError> {
    shelf.is_sound()?;
    outlines_are_sizes(shapes)?;
    let mut s = Search {
        place: Place::shelf(shelf),
        shapes: shapes
            .iter()
            .map(|o| Shape::outline(o, 1.0, shelf.gap.to_m()))
            .collect(),
        areas_m2: shapes.iter().map(|o| o.area().to_m2()).collect(),
        shelf_m2: shelf.area_m2(),
        clock: effort.clock(),
        on: Vec::new(),
        rng: ChaCha8Rng::seed_from_u64(effort.seed),
    };
    let mut by_size: Vec<usize> = (0..shapes.len()).collect();
    by_size.sort_by(|a, b| s.areas_m2[*b].total_cmp(&s.areas_m2[*a]));
    let mut rounds = 0;
    for i in by_size {
        if rounds >= effort.rounds || s.clock.over() {
            break;
        }
        rounds += 1;
        s.put_in(i, &[]);
    }
    let begun = rounds;
    s.drop_in_rows(|share| {
        rounds += 1;
        rounds - begun <= effort.rounds / 2 && share < ROWS_SHARE
    });
    while rounds < effort.rounds && !s.clock.over() && s.on.len() < shapes.len() {
        rounds += 1;
        s.exchange();
    }
    let mut poses = vec![None; shapes.len()];
    for (i, p) in &s.on {
        poses[*i] = Some(Stand::of(p));
    }
    Ok(Chosen {
        area: Area::m2(s.area_m2()),
        poses,
    })
}

impl Search {
    fn area_m2(&self) -> f64 {
        self.on.iter().map(|(i, _)| self.areas_m2[*i]).sum()
    }

    /// Drops upright boxes in ever other orders, and keeps the best if it beats what stands. Asks
    /// before each whether to go on, telling the share of the time that is gone.
    fn drop_in_rows(&mut self, mut go_on: impl FnMut(f64) -> bool) {
        let n = self.shapes.len();
        let mut order = first_order(&self.shapes);
        let mut held = 0.0;
        if n == 0 {
            return;
        }
        loop {
            let gone = self.clock.gone();
            if !go_on(gone) {
                break;
            }
            let mut next = order.clone();
            if held > 0.0 {
                for _ in 0..self.rng.random_range(1..=3) {
                    let (a, b) = (self.rng.random_range(0..n), self.rng.random_range(0..n));
                    match self.rng.random_range(0..3) {
                        0 => next.turned[a] = !next.turned[a],
                        1 => next.bodies.swap(a, b),
                        _ => {
                            let moved = next.bodies.remove(a);
                            next.bodies.insert(b.min(n - 1), moved);
                        }
                    }
                }
            }
            let poses = self.place.fallen(&self.shapes, &next);
            let stands = poses.iter().enumerate();
            let on: Vec<(usize, Pose)> = stands.filter_map(|(i, p)| p.map(|p| (i, p))).collect();
            if on.is_empty() {
                return;
            }
            let area: f64 = on.iter().map(|(i, _)| self.areas_m2[*i]).sum();
            if area > self.area_m2() + 1e-12 {
                self.on = on;
            }
            // A little worse is taken at first, so that the search gets out of hollows.
            if area >= held - WORSE * self.shelf_m2 * (1.0 - gone / ROWS_SHARE).max(0.0) {
                (held, order) = (area, next);
            }
        }
    }

    /// Puts one in, in the stead of those that stand at these ranks.
    fn put_in(&mut self, i: usize, out: &[usize]) -> bool {
        let kept: Vec<(usize, Pose)> = self
            .on
            .iter()
            .enumerate()
            .filter(|(rank, _)| !out.contains(rank))
            .map(|(_, on)| *on)
            .collect();
        let area_m2: f64 = kept.iter().map(|(k, _)| self.areas_m2[*k]).sum();
        if area_m2 + self.areas_m2[i] > self.shelf_m2 {
            return false;
        }
        let mut numbers: Vec<usize> = kept.iter().map(|(k, _)| *k).collect();
        numbers.push(i);
        let mut start: Vec<Option<Pose>> = kept.iter().map(|(_, p)| Some(*p)).collect();
        // One for one, the newcomer starts where the other stood.
        start.push(match out {
            [only] => Some(self.on[*only].1),
            _ => None,
        });
        let shapes: Vec<&Shape> = numbers.iter().map(|k| &self.shapes[*k]).collect();
        match self.place.fit(&shapes, &start, TRIES, &mut self.rng) {
            Some(poses) => {
                self.on = numbers.into_iter().zip(poses).collect();
                true
            }
            None => false,
        }
    }

    /// Tries one that stays out, alone or in the stead of a few that are smaller together.
    fn exchange(&mut self) {
        let waiting: Vec<usize> = (0..self.shapes.len())
            .filter(|i| self.on.iter().all(|(k, _)| k != i))
            .collect();
        let i = waiting[self.rng.random_range(0..waiting.len())];
        let mut out = Vec::new();
        let mut free_m2 = self.areas_m2[i];
        for _ in 0..self.rng.random_range(0..=MOST_OUT) {
            let smaller: Vec<usize> = (0..self.on.len())
                .filter(|r| !out.contains(r) && self.areas_m2[self.on[*r].0] < free_m2)
                .collect();
            if smaller.is_empty() {
                break;
            }
            let rank = smaller[self.rng.random_range(0..smaller.len())];
            free_m2 -= self.areas_m2[self.on[rank].0];
            out.push(rank);
        }
        self.put_in(i, &out);
    }
}
