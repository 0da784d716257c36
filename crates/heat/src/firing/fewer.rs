//! Fitting a list of segments into a controller that takes fewer.

use glost_model::Span;
use glost_model::firing::Segment;

use super::segments::Segments;

/// Leaves at most this many. Slow cooling goes first, then segments without a hold join the
/// neighbour nearest in rate, at the slower of the two; last the holds before the peak.
pub fn at_most(most: u8, segments: &mut Segments, notes: &mut Vec<String>) {
    let most = usize::from(most.max(1));
    if segments.list.len() > most && segments.list.len() > segments.peak + 1 {
        segments.list.truncate(segments.peak + 1);
        notes.push(
            "The controller has too few segments for the slow cooling that a glaze here wants."
                .into(),
        );
    }
    let mut joined = false;
    while segments.list.len() > most && segments.peak > 0 {
        // The segment to the peak stays as it is while another can go.
        let pairs = segments.peak.saturating_sub(1).max(1);
        let first =
            (0..pairs).min_by(|a, b| cost(&segments.list, *a).total_cmp(&cost(&segments.list, *b)));
        let Some(first) = first else { break };
        let gone = segments.list.remove(first);
        if let Some(next) = segments.list.get_mut(first) {
            next.rate = match (gone.rate, next.rate) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
            next.reason = format!("{} {}", gone.reason, next.reason);
        }
        if gone.hold > Span::ZERO {
            notes.push(format!(
                "The controller has too few segments for the hold of {:.0} min at {:.0} °C: hold there by hand.",
                gone.hold.to_minutes(),
                gone.target.to_c()
            ));
        }
        segments.peak -= 1;
        joined = true;
    }
    if joined {
        notes.push(format!(
            "Joined into the {most} segments of the controller, at the slower rate of those joined."
        ));
    }
}

/// What joining a segment to the next one loses.
fn cost(list: &[Segment], first: usize) -> f64 {
    let rate = |i: usize| {
        list.get(i)
            .and_then(|s| s.rate)
            .map_or(0.0, |r| r.to_c_per_h())
    };
    let hold = list.get(first).map_or(0.0, |s| s.hold.to_minutes());
    hold * 1000.0 + (rate(first) - rate(first + 1)).abs()
}
