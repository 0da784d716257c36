//! How long ware waits from coming in to the start of its first firing.

use glost_model::Span;

use super::{Books, day};

/// Waits of pieces whose first firing is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Waits {
    /// Pieces.
    pub pieces: usize,
    /// Half of them waited no longer.
    pub median: Span,
    /// Nine in ten waited no longer.
    pub nine_in_ten: Span,
}

/// In whole days, as the book has the day of coming in; nothing when no piece tells it.
pub fn waits(books: &Books<'_>) -> Option<Waits> {
    let mut days: Vec<i32> = books
        .ware
        .iter()
        .filter_map(|w| {
            let first = books.firings.get(w.stood.first()?.firing.as_str())?;
            let days = w
                .piece
                .came_in?
                .until(day(first, &books.zone)?)
                .ok()?
                .get_days();
            Some(days.max(0))
        })
        .collect();
    days.sort_unstable();
    // Nearest rank.
    let at = |share: f64| {
        let rank = (share * days.len() as f64).ceil().max(1.0) as usize;
        days.get(rank - 1).map(|d| Span::h(f64::from(*d) * 24.0))
    };
    Some(Waits {
        pieces: days.len(),
        median: at(0.5)?,
        nine_in_ten: at(0.9)?,
    })
}
