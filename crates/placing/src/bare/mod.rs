//! One bare shelf: how tightly can outlines stand on it? No posts stock, no heights, no ware.
//!
//! This is how the shelf engine is measured: against published records, and beside other programs on the
//! same container, outlines and gaps. `adapter` alone knows how the engine wants its shelves.
//!
//! Every answer is repeatable: the same seed and rounds give the same, bit for bit, as long as the
//! clock of [`Effort::seconds`] does not run out first.

mod adapter;
mod bins;
mod densest;
mod least_circle;
mod most;
mod narrowest;
pub mod records;
mod tighten;

use std::time::Instant;

use glost_model::shape::{Chamber, Outline};
use glost_model::{Angle, Length};

pub use bins::{Binned, bins};
pub use densest::{Scaled, densest};
pub use least_circle::{Packed, least_circle};
pub use most::{Chosen, most};
pub use narrowest::{Strip, narrowest};

/// How hard to search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// Outer stop by the clock, s. A round that has begun is finished.
    pub seconds: f64,
    /// The same seed and rounds give the same answer.
    pub seed: u64,
    /// Layouts tried at most.
    pub rounds: u32,
}

impl Effort {
    fn clock(self) -> Clock {
        Clock {
            start: Instant::now(),
            seconds: self.seconds,
        }
    }
}

#[derive(Debug, Clone, Copy)]
struct Clock {
    start: Instant,
    seconds: f64,
}

impl Clock {
    fn over(self) -> bool {
        self.gone() >= 1.0
    }

    /// Share of the time that is gone.
    fn gone(self) -> f64 {
        if self.seconds > 0.0 {
            self.start.elapsed().as_secs_f64() / self.seconds
        } else {
            1.0
        }
    }
}

/// A shelf with nothing on it but posts.
#[derive(Debug, Clone, PartialEq)]
pub struct BareShelf {
    /// Its outline, centred on the origin.
    pub form: Chamber,
    /// What stands on it already.
    pub posts: Vec<Post>,
    /// Least distance between two outlines, and from an outline to a post.
    pub gap: Length,
    /// Least distance to the shelf's edge.
    pub edge_gap: Length,
}

/// A round post.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Post {
    /// Its middle.
    pub x: Length,
    /// Its middle.
    pub y: Length,
    /// Its radius.
    pub radius: Length,
}

/// Where an outline stands: the place of its origin, and its turn about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stand {
    /// To the right.
    pub x: Length,
    /// Toward the hinge.
    pub y: Length,
    /// Counter-clockwise.
    pub turn: Angle,
}

impl Stand {
    fn of(pose: &adapter::Pose) -> Self {
        Self {
            x: Length::m(pose[0]),
            y: Length::m(pose[1]),
            turn: Angle::rad(pose[2]),
        }
    }
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BareError {
    /// A number that is no size.
    #[error("{what} {number} is not a size: give a finite number above 0")]
    NoSize {
        /// What it is the size of: a radius, an outline, a shelf.
        what: &'static str,
        /// Which one, counted from 1.
        number: usize,
    },
    /// Nothing was found, be it that nothing fits or that the effort was too small.
    #[error("{0}; give more room or more effort")]
    NotFound(&'static str),
}

fn radii_are_sizes(radii: &[f64]) -> Result<(), BareError> {
    match radii.iter().position(|r| !(r.is_finite() && *r > 0.0)) {
        None => Ok(()),
        Some(i) => Err(BareError::NoSize {
            what: "radius",
            number: i + 1,
        }),
    }
}

fn outlines_are_sizes(shapes: &[Outline]) -> Result<(), BareError> {
    let sound = |o: &Outline| {
        let (w, h) = o.extent();
        [w.to_m(), h.to_m(), o.area().to_m2()]
            .iter()
            .all(|v| v.is_finite() && *v > 0.0)
    };
    match shapes.iter().position(|o| !sound(o)) {
        None => Ok(()),
        Some(i) => Err(BareError::NoSize {
            what: "outline",
            number: i + 1,
        }),
    }
}

impl BareShelf {
    fn is_sound(&self) -> Result<(), BareError> {
        let (w, h) = adapter::extent_m(&self.form);
        let gaps = [self.gap, self.edge_gap];
        let posts_are_sizes = self.posts.iter().all(|p| {
            p.x.is_finite() && p.y.is_finite() && p.radius.is_finite() && p.radius >= Length::ZERO
        });
        let sound = [w, h].iter().all(|v| v.is_finite() && *v > 0.0)
            && gaps.iter().all(|g| g.is_finite() && *g >= Length::ZERO)
            && posts_are_sizes;
        if sound {
            Ok(())
        } else {
            Err(BareError::NoSize {
                what: "shelf",
                number: 1,
            })
        }
    }

    /// Area of the whole shelf, posts and rim counted in, m².
    fn area_m2(&self) -> f64 {
        adapter::area_m2(&self.form)
    }
}
