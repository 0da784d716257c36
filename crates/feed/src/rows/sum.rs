//! Power summed up.

use jiff::Timestamp;
use serde::{Deserialize, Serialize};

use glost_model::{Energy, Power, Span};

/// Longer than this without a reading, what was drawn is not known. Common practice, no source.
const BRIDGED: Span = Span::minutes(5.0);

/// What a meter would show that began at the first reading.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
pub(crate) struct Sum {
    latest: Option<(Timestamp, Power)>,
    total: Energy,
}

impl Sum {
    /// Counts one more reading in.
    pub(crate) fn add(&mut self, at: Timestamp, power: Power) -> Energy {
        let step = self.latest.map(|(then, before)| {
            let span = Span::s(at.duration_since(then).as_secs_f64());
            (span, (before + power) * 0.5)
        });
        match step {
            Some((span, mean)) if span >= Span::ZERO && span <= BRIDGED => {
                self.total += mean * span;
            }
            _ => self.total = Energy::ZERO,
        }
        self.latest = Some((at, power));
        self.total
    }
}
