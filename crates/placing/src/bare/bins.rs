//! Circles in as few equal round bins as can be found.

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use super::adapter::{Place, Pose, Shape};
use super::{BareError, Clock, Effort, radii_are_sizes};

/// Descents for one bin.
const TRIES: usize = 60;
/// The same while circles go into bins one after the other.
const FIRST_TRIES: usize = 4;
/// Bins as full as this in area are not hoped for.
const FULLEST: f64 = 0.95;
/// Exchanges between bins before the same number of bins is dealt anew.
const EXCHANGES: u32 = 40;

/// Circles in bins.
#[derive(Debug, Clone, PartialEq)]
pub struct Binned {
    /// For each bin the circles in it, by their number in the list, each with its middle from the bin's
    /// middle in the unit of the radii. Circles overlap by at most 0.01 % of the bin's radius.
    pub bins: Vec<Vec<(usize, [f64; 2])>>,
}

/// The fewest bins found.
///
/// # Errors
/// [`BareError::NoSize`] for a radius that is none, [`BareError::NotFound`] for a circle larger than the bin
/// and when the effort is spent before all circles are in bins.
pub fn bins(container_r: f64, radii: &[f64], effort: Effort) -> Result<Binned, BareError> {
    radii_are_sizes(&[container_r])?;
    radii_are_sizes(radii)?;
    if radii.iter().any(|r| *r > container_r) {
        return Err(BareError::NotFound("a circle is larger than the bin"));
    }
    let mut search = Search {
        place: Place::disc(1.0),
        shapes: radii.iter().map(|r| Shape::disc(r / container_r)).collect(),
        shares: radii.iter().map(|r| (r / container_r).powi(2)).collect(),
        clock: effort.clock(),
        left: effort.rounds,
        rng: ChaCha8Rng::seed_from_u64(effort.seed),
    };
    let found = search
        .fewest(radii.len())
        .ok_or(BareError::NotFound("no bins were found that hold all"))?;
    let in_unit = |(i, p): (usize, Pose)| (i, [p[0] * container_r, p[1] * container_r]);
    Ok(Binned {
        bins: found
            .into_iter()
            .map(|b| b.into_iter().map(in_unit).collect())
            .collect(),
    })
}

type Layout = Vec<(usize, Pose)>;

struct Search {
    place: Place,
    shapes: Vec<Shape>,
    /// Of the bin's area.
    shares: Vec<f64>,
    clock: Clock,
    left: u32,
    rng: ChaCha8Rng,
}

impl Search {
    /// Deals to few bins first, a little to each number of them in turn; putting one after the other
    /// into the first bin that takes it is there when nothing else is found.
    fn fewest(&mut self, circles: usize) -> Option<Vec<Layout>> {
        let mut by_size: Vec<usize> = (0..circles).collect();
        by_size.sort_by(|a, b| self.shares[*b].total_cmp(&self.shares[*a]));
        let least = (self.shares.iter().sum::<f64>() / FULLEST).ceil().max(1.0) as usize;
        let mut best = self.first_fit(&by_size)?;
        while best.len() > least && !self.spent() {
            for count in least..best.len().min(least + 3) {
                if let Some(fewer) = self.dealt(&by_size, count) {
                    best = fewer;
                    break;
                }
            }
        }
        Some(best)
    }

    fn spent(&self) -> bool {
        self.left == 0 || self.clock.over()
    }

    fn fill(&mut self, circles: &[usize], tries: usize) -> Option<Layout> {
        self.left = self.left.saturating_sub(1);
        let share: f64 = circles.iter().map(|i| self.shares[*i]).sum();
        if share > 1.0 {
            return None;
        }
        let shapes: Vec<&Shape> = circles.iter().map(|i| &self.shapes[*i]).collect();
        let poses = self.place.fit(&shapes, &[], tries, &mut self.rng)?;
        Some(circles.iter().copied().zip(poses).collect())
    }

    /// Each circle into the first bin that still takes it. Alone in a bin a circle always fits.
    fn first_fit(&mut self, by_size: &[usize]) -> Option<Vec<Layout>> {
        let mut bins: Vec<Layout> = Vec::new();
        for &i in by_size {
            let mut stands = false;
            for bin in &mut bins {
                if self.spent() {
                    break;
                }
                let mut with: Vec<usize> = bin.iter().map(|(k, _)| *k).collect();
                with.push(i);
                if let Some(layout) = self.fill(&with, FIRST_TRIES) {
                    *bin = layout;
                    stands = true;
                    break;
                }
            }
            if !stands {
                bins.push(vec![(i, [0.0; 3])]);
            }
        }
        (!bins.is_empty()).then_some(bins)
    }

    /// Deals all circles evenly to so many bins and exchanges circles of those that cannot be filled.
    fn dealt(&mut self, by_size: &[usize], count: usize) -> Option<Vec<Layout>> {
        let mut hands: Vec<Vec<usize>> = vec![Vec::new(); count];
        for (rank, i) in by_size.iter().enumerate() {
            hands[rank % count].push(*i);
        }
        let mut done: Vec<Option<Layout>> = Vec::new();
        for hand in &hands {
            done.push(if self.spent() {
                None
            } else {
                self.fill(hand, TRIES)
            });
        }
        for _ in 0..EXCHANGES {
            let Some(bad) = done.iter().position(Option::is_none) else {
                break;
            };
            if self.spent() || count < 2 {
                break;
            }
            let other = (bad + self.rng.random_range(1..count)) % count;
            let (a, b) = (
                self.rng.random_range(0..hands[bad].len()),
                self.rng.random_range(0..hands[other].len()),
            );
            let mine = hands[bad][a];
            hands[bad][a] = hands[other][b];
            hands[other][b] = mine;
            let first = self.fill(&hands[bad], TRIES);
            let second = self.fill(&hands[other], TRIES);
            let fuller = done[bad].is_some() as u8 + done[other].is_some() as u8;
            if first.is_some() as u8 + second.is_some() as u8 >= fuller {
                (done[bad], done[other]) = (first, second);
            } else {
                let mine = hands[bad][a];
                hands[bad][a] = hands[other][b];
                hands[other][b] = mine;
            }
        }
        done.into_iter().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bare::records;

    /// Five copies of 1, 2, … n in bins of the least known radius for 1 to n, plus 1 %: five bins are enough by
    /// construction. Set "fixed" of Yuan, Tole, Ni, He et al., arXiv 2108.03203.
    #[test]
    fn five_copies_go_in_five_or_six_bins() {
        for n in [8usize, 10] {
            let radii: Vec<f64> = (0..5).flat_map(|_| (1..=n).map(|i| i as f64)).collect();
            let bin = records::rising_circles(n).unwrap() * 1.01;
            let effort = Effort {
                seconds: f64::INFINITY,
                seed: 1,
                rounds: 400,
            };
            let found = bins(bin, &radii, effort).unwrap().bins;
            println!("{n}: {} bins", found.len());
            assert!((5..=6).contains(&found.len()), "{n}: {}", found.len());
            let mut seen: Vec<usize> = found.iter().flatten().map(|(i, _)| *i).collect();
            seen.sort_unstable();
            assert!(seen.into_iter().eq(0..radii.len()));
            for b in &found {
                for (k, (i, p)) in b.iter().enumerate() {
                    assert!(p[0].hypot(p[1]) + radii[*i] <= bin * 1.0001);
                    for (j, q) in &b[..k] {
                        let dist = (p[0] - q[0]).hypot(p[1] - q[1]);
                        assert!(radii[*i] + radii[*j] <= dist + 1e-4 * bin);
                    }
                }
            }
        }
    }

    #[test]
    fn what_is_larger_than_the_bin_is_said() {
        let effort = Effort {
            seconds: 1.0,
            seed: 1,
            rounds: 10,
        };
        assert!(bins(1.0, &[0.5, 1.1], effort).is_err());
        assert_eq!(bins(1.0, &[1.0, 1.0], effort).map(|b| b.bins.len()), Ok(2));
    }
}
