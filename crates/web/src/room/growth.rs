//! A load while it is being planned: drawn small, at most once a second, and told how good it is.

use std::cell::Cell;
use std::time::{Duration, Instant};

use glost_model::load::Tier;
use glost_model::studio::Studio;
use glost_sheets::tier_small_svg;
use glost_studio::Growing;

use crate::app::called;
use crate::app::jobs::{Teller, TierDrawn};

/// Time from one drawing to the next.
const PAUSE: Duration = Duration::from_secs(1);

/// Draws a load as it grows.
pub(super) struct Growth {
    studio: Studio,
    kiln: String,
    /// When the last drawing was made, and what the load was worth then.
    drawn: Cell<Option<(Instant, f64)>>,
}

impl Growth {
    pub(super) fn new(studio: Studio, kiln: &str) -> Self {
        Self {
            studio,
            kiln: kiln.to_owned(),
            drawn: Cell::new(None),
        }
    }

    /// Tells of the search; false when it is to stop.
    pub(super) fn tell(&self, teller: &Teller, phase: &str, g: &Growing<'_>) -> bool {
        let now = Instant::now();
        let due = self.drawn.get().is_none_or(|(at, value)| {
            // Shares of a search below one: the load is complete, and may have been evened out since.
            (now.duration_since(at) >= PAUSE && g.value > value) || g.share > 0.9
        });
        if let Some(so_far) = g.so_far.filter(|_| due) {
            self.drawn.set(Some((now, g.value)));
            teller.show(self.draw(&so_far()));
        }
        teller.tell(phase, g.share, worth(g))
    }

    /// Tiers from the top down.
    fn draw(&self, tiers: &[Tier]) -> Vec<TierDrawn> {
        let Some(kiln) = self.studio.kiln(&self.kiln) else {
            return Vec::new();
        };
        let drawn = |t: &Tier| TierDrawn {
            words: format!(
                "Tier {}: {}",
                t.name,
                called::several(t.pieces.len() as u64, "piece")
            ),
            svg: tier_small_svg(&self.studio, kiln, t),
        };
        tiers.iter().rev().map(drawn).collect()
    }
}

/// How good the load is, once it is proved how good one can be.
fn worth(g: &Growing<'_>) -> String {
    match g.at_most {
        Some(most) if most > 0.0 => {
            let share = (g.value / most * 100.0).floor().min(100.0);
            format!(
                "The best load so far is worth at least {share:.0} % of the best that is possible."
            )
        }
        _ => String::new(),
    }
}
