//! Single cells of a [`Slip`].

use jiff::civil::Date;

use super::sheet::Slip;
use super::size;
use super::spot::short;
use super::units::{Limits, Units};
use crate::Length;
use crate::cone::Cone;

/// A number that must be there.
pub(super) fn number(slip: &Slip<'_, '_>, column: &str) -> Option<f64> {
    let text = slip.need(
        column,
        "Write a number without a unit, with a point for decimals",
    )?;
    size::number(text)
        .map_err(|(what, remedy)| slip.fault(column, what, &remedy))
        .ok()
}

/// Notes that the number of a column is too large or too small.
pub(super) fn out_of_bounds(slip: &Slip<'_, '_>, column: &str, remedy: &str) {
    let found = short(slip.find(column).unwrap_or(""));
    slip.fault(column, format!("{found} is out of bounds"), remedy);
}

/// A length within its limits.
pub(super) fn length(
    slip: &Slip<'_, '_>,
    column: &str,
    units: Units,
    limits: Limits<Length>,
) -> Option<Length> {
    let found = number(slip, column)?;
    units
        .length(found, limits)
        .map_err(|remedy| out_of_bounds(slip, column, &remedy))
        .ok()
}

/// One of a list of words; an empty cell gives the default where there is one.
pub(super) fn word<T: Copy>(
    slip: &Slip<'_, '_>,
    column: &str,
    known: &[(&str, T)],
    default: Option<T>,
) -> Option<T> {
    let words: Vec<&str> = known.iter().map(|(w, _)| *w).collect();
    let remedy = format!("Use one of {}", words.join(", "));
    let found = match default {
        Some(value) => match slip.find(column) {
            Some(found) => found,
            None => return Some(value),
        },
        None => slip.need(column, &remedy)?,
    };
    let hit = known.iter().find(|(w, _)| *w == found).map(|(_, t)| *t);
    if hit.is_none() {
        slip.fault(
            column,
            format!("'{}' is not known here", short(found)),
            &remedy,
        );
    }
    hit
}

/// The cone that the slip asks for; the outer nothing is a fault.
pub(super) fn cone(slip: &Slip<'_, '_>) -> Option<Option<Cone>> {
    let Some(text) = slip.find("cone") else {
        return Some(None);
    };
    let cone = Cone::parse(text).ok();
    if cone.is_none() {
        slip.fault(
            "cone",
            format!("'{}' is not a cone", short(text)),
            "Write 022 to 01 or 1 to 14, or leave it empty; a spreadsheet keeps the 0 of 06 only in a cell set to text",
        );
    }
    cone.map(Some)
}

/// When it is due and when it came in; an outer nothing is a fault.
pub(super) fn dates(slip: &Slip<'_, '_>) -> (Option<Option<Date>>, Option<Option<Date>>) {
    let (due, came_in) = (date(slip, "due"), date(slip, "came_in"));
    if let (Some(Some(due)), Some(Some(came_in))) = (due, came_in)
        && due < came_in
    {
        slip.fault(
            "due",
            format!("{due} is before the piece came in, {came_in}"),
            "Correct one of the two dates",
        );
    }
    (due, came_in)
}

fn date(slip: &Slip<'_, '_>, column: &str) -> Option<Option<Date>> {
    let Some(text) = slip.find(column) else {
        return Some(None);
    };
    // The year first, four digits: other orders are read differently from land to land.
    let shaped = text.len() == 10 && text.bytes().all(|b| b.is_ascii_digit() || b == b'-');
    let date = shaped.then(|| text.parse::<Date>().ok()).flatten();
    if date.is_none() {
        slip.fault(
            column,
            format!("'{}' is not a date", short(text)),
            "Write year-month-day, as 2026-11-25, or leave it empty",
        );
    }
    date.map(Some)
}

/// From 1 to 5; 3 when it is empty.
pub(super) fn priority(slip: &Slip<'_, '_>) -> Option<u8> {
    let Some(text) = slip.find("priority") else {
        return Some(3);
    };
    let found = text.parse::<u8>().ok().filter(|p| (1..=5).contains(p));
    if found.is_none() {
        slip.fault(
            "priority",
            format!("'{}' is not a priority", short(text)),
            "Write 1 (can wait) to 5 (first), or leave it empty for 3",
        );
    }
    found
}
