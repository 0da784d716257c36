//! The kilns that a watch keeps: one as it is believed to be, and for each thing that is not known one that differs by
//! it. All are led by the same sensor; how they differ tells what each unknown does.

use super::NotWatched;
use super::believed::Belief;
use super::normal::dot;
use crate::kiln::{Drive, KilnInput, KilnModel, Live, NotSimulated, Standing, between};

/// A kiln warmer than its room by this had been fired before, K; it is taken to have stood so for this long, s.
const WARM_K: f64 = 6.0;
const WARM_S: f64 = 4.0 * 3600.0;
/// No answer is led on further than this many standard deviations from where slopes were taken.
const FURTHEST: f64 = 2.5;

/// The kilns.
pub struct Kilns {
    belief: Belief,
    middle: Live,
    /// For each unknown; power needs none, as what a kiln takes to follow its sensor does not depend on it.
    moved: Vec<Option<Live>>,
    widths: Vec<f64>,
}

/// What it took to follow the sensor, as shares of the full power that is believed of the kiln.
#[derive(Debug, Clone, PartialEq)]
pub struct Took {
    /// In the kiln as believed.
    pub share: f64,
    /// How that changes with each unknown.
    pub slopes: Vec<f64>,
}

impl Kilns {
    /// Cold ones.
    ///
    /// # Errors
    /// [`NotWatched`].
    pub fn new(kiln: &KilnInput, belief: Belief) -> Result<Self, NotWatched> {
        let cold = |by: &[f64]| KilnModel::new(belief.kiln(kiln, by)).map(Live::new);
        let widths = belief.widths();
        let power = belief.power();
        let moved = |i: usize| {
            if Some(i) == power {
                return Ok(None);
            }
            let mut by = belief.mean().to_vec();
            by[i] += widths[i];
            cold(&by).map(Some)
        };
        Ok(Self {
            middle: cold(belief.mean())?,
            moved: (0..widths.len()).map(moved).collect::<Result<_, _>>()?,
            widths,
            belief,
        })
    }

    /// What is believed.
    pub fn belief(&self) -> &Belief {
        &self.belief
    }

    /// The kiln as believed.
    pub fn middle(&self) -> &Live {
        &self.middle
    }

    fn all(&mut self) -> impl Iterator<Item = &mut Live> {
        std::iter::once(&mut self.middle).chain(self.moved.iter_mut().flatten())
    }

    /// They start from what the sensor shows first, K.
    ///
    /// # Errors
    /// [`NotSimulated`].
    pub fn warm(&mut self, at_k: f64) -> Result<(), NotSimulated> {
        let over = at_k - self.middle.model().input.room.to_k();
        if over > WARM_K {
            for kiln in self.all() {
                kiln.warm(at_k, WARM_S)?;
            }
        }
        Ok(())
    }

    /// Goes on to a time while the set point, or what the sensor shows, moves to a temperature, K.
    ///
    /// # Errors
    /// [`NotSimulated`]; kilns that could not go on are as they were.
    pub fn lead(
        &mut self,
        to_s: f64,
        set_k: f64,
        drive: Drive,
        shut: bool,
    ) -> Result<Took, NotSimulated> {
        let mut watts = Vec::with_capacity(self.widths.len());
        let mut failed = None;
        for kiln in self.all() {
            match kiln.lead(to_s, set_k, drive, shut) {
                Ok(w) => watts.push(w),
                Err(e) => failed = Some(e),
            }
        }
        if let Some(e) = failed {
            return Err(e);
        }
        let full = self.middle.full_w();
        let mut watts = watts.into_iter();
        let share = watts.next().unwrap_or(0.0) / full;
        let slopes = self.moved.iter().zip(&self.widths);
        let slopes = slopes.map(|(kiln, width)| match kiln {
            Some(_) => (watts.next().unwrap_or(0.0) / full - share) / width,
            // A stronger kiln takes a smaller share.
            None => -share,
        });
        Ok(Took {
            share,
            slopes: slopes.collect(),
        })
    }

    /// A figure of the kiln as believed, and its slopes.
    pub fn figure(&self, of: impl Fn(&Live) -> f64) -> (f64, Vec<f64>) {
        let here = of(&self.middle);
        let each = self.moved.iter().zip(&self.widths);
        let slopes = each.map(|(kiln, width)| {
            let there = kiln.as_ref().map_or(here, &of);
            (there - here) / width
        });
        (here, slopes.collect())
    }

    /// The same figure in a kiln that is off by this much, led on along a straight line.
    pub fn at(&self, off: &[f64], of: impl Fn(&Live) -> f64) -> f64 {
        let (here, slopes) = self.figure(of);
        here + dot(&slopes, &self.near(off))
    }

    /// Not so far off that straight lines tell nothing.
    fn near(&self, off: &[f64]) -> Vec<f64> {
        let each = off.iter().zip(&self.widths);
        each.map(|(o, w)| o.clamp(-FURTHEST * w, FURTHEST * w))
            .collect()
    }

    /// How a kiln stands that is off by this much, with its set point at `set_k` and so many segments behind it.
    pub fn standing(&self, off: &[f64], set_k: f64, over: usize) -> Option<Standing> {
        let off = self.near(off);
        let shares = off.iter().zip(&self.widths).map(|(o, w)| o / w);
        let kilns = self.moved.iter().zip(shares);
        let mut all: Vec<(&Live, f64)> =
            kilns.filter_map(|(k, s)| Some((k.as_ref()?, s))).collect();
        let rest = 1.0 - all.iter().map(|(_, s)| s).sum::<f64>();
        all.insert(0, (&self.middle, rest));
        between(&all, set_k, over)
    }
}
