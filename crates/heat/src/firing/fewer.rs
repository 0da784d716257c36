//! Fitting a list of segments into a controller that takes fewer.

use glost_model::Span;
use glost_model::firing::Segment;
use glost_model::shown::{Shown, hours};

use super::segments::Segments;

/// Leaves at most this many. Slow cooling goes first, then segments without a hold join the
/// neighbour nearest in rate, at the slower of the two; the longest hold, that for drying, goes last.
/// Answers with the segments whose holds are lost, which hands have to hold.
pub fn at_most(
    most: u8,
    shown: Shown,
    segments: &mut Segments,
    notes: &mut Vec<String>,
) -> Vec<Segment> {
    let most = usize::from(most.max(1));
    if segments.list.len() > most && segments.list.len() > segments.peak + 1 {
        segments.list.truncate(segments.peak + 1);
        notes.push(
            "The controller has too few segments for the slow cooling that a glaze here wants."
                .into(),
        );
    }
    let (mut joined, mut lost) = (false, Vec::new());
    while segments.list.len() > most && segments.peak > 0 {
        let cheaper = |a: &usize, b: &usize| {
            let lost = |k: usize| cost(&segments.list, k, segments.peak);
            lost(*a).total_cmp(&lost(*b))
        };
        let first = (0..segments.peak).min_by(cheaper);
        let Some(first) = first else { break };
        let gone = segments.list.remove(first);
        if let Some(next) = segments.list.get_mut(first) {
            next.rate = match (gone.rate, next.rate) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
            if gone.hold <= Span::ZERO {
                next.reason = together(&gone.reason, &next.reason);
            }
        }
        if gone.hold > Span::ZERO {
            notes.push(format!(
                "The controller has too few segments for the hold of {} at {}: hold there by hand.",
                hours(gone.hold),
                shown.temperature(gone.target)
            ));
            lost.push(gone);
        }
        segments.peak -= 1;
        joined = true;
    }
    if joined {
        notes.push(format!(
            "Joined into {most}, the most segments that the controller takes, at the slower rate of those joined."
        ));
    }
    lost
}

/// What joining a segment to the next one loses: a hold most, then the slow last 100 °C, then pace.
fn cost(list: &[Segment], first: usize, peak: usize) -> f64 {
    let rate = |i: usize| {
        let rate = list.get(i).and_then(|s| s.rate);
        rate.map_or(0.0, |r| r.to_c_per_h())
    };
    let hold = list.get(first).map_or(0.0, |s| s.hold.to_minutes());
    let into_peak = if first + 1 == peak { 5000.0 } else { 0.0 };
    hold * 1000.0 + into_peak + (rate(first) - rate(first + 1)).abs()
}

/// Two reasons as one, with no sentence twice.
fn together(first: &str, second: &str) -> String {
    let mut all: Vec<&str> = Vec::new();
    for sentence in first.split(". ").chain(second.split(". ")) {
        let sentence = sentence.trim_end_matches('.');
        if !sentence.is_empty() && !all.contains(&sentence) {
            all.push(sentence);
        }
    }
    format!("{}.", all.join(". "))
}
