//! A programme in a line of words.

use glost_model::Span;
use glost_model::firing::Segment;
use glost_model::shown::{Shown, hours};

/// `100 °C/h to 600 °C, hold 30 min; 60 °C/h to 1222 °C`.
pub fn told(segments: &[Segment], shown: Shown) -> String {
    let one = |s: &Segment| {
        let hold = if s.hold > Span::ZERO {
            format!(", hold {}", hours(s.hold))
        } else {
            String::new()
        };
        format!(
            "{} to {}{hold}",
            shown.ramp(s.rate),
            shown.temperature(s.target)
        )
    };
    segments.iter().map(one).collect::<Vec<_>>().join("; ")
}
