//! Fired ware that waits for its makers: a list to hand it out by, and a message to each maker.

mod notice;
mod view;

use glost_model::Money;
use jiff::civil::Date;

use crate::typeset::{self, SheetError};
pub use notice::notice;

/// All that waits to be collected.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HandBack {
    /// Name of the studio.
    pub studio: String,
    /// US letter instead of A4.
    pub us_letter: bool,
    /// Day of the list.
    pub made_on: Date,
    /// Code or sign of the currency of the charges.
    pub currency: String,
    /// The pieces, in any order; each maker's stay in this order.
    pub pieces: Vec<Ready>,
}

/// A piece that waits for its maker.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ready {
    /// Who made it.
    pub maker: String,
    /// Short code, such as `K7Q2`.
    pub code: String,
    /// What it is.
    pub what: String,
    /// The firing that it came out of, in words: `Wren, glaze, cone 6, 9 Dec`.
    pub firing: String,
    /// Where it is now or was in the kiln, in words: `tier 2L`, `rack 3`.
    pub place: String,
    /// Last day to collect it, if there is one.
    pub collect_by: Option<Date>,
    /// What its firing costs, if that is charged.
    pub charge: Option<Money>,
    /// Faults found at opening, each in words: `glaze crawled`.
    pub faults: Vec<String>,
}

/// The list as a PDF, a block a maker in the order of their names, with a box to tick for each piece. Columns that
/// nothing would stand in (charges, faults, days) are left out.
///
/// The same pieces give the same pages.
///
/// # Errors
/// [`SheetError::Empty`] when nothing waits.
pub fn hand_back_pdf(list: &HandBack) -> Result<Vec<u8>, SheetError> {
    if list.pieces.is_empty() {
        return Err(SheetError::Empty);
    }
    typeset::pdf(include_str!("hand_back.typ"), &view::List::new(list))
}

/// A day in words that nobody reads as another: `12 December 2026`.
fn day(date: Date) -> String {
    date.strftime("%-d %B %Y").to_string()
}

/// All charges of some pieces, nothing when none of them is charged.
fn total(pieces: &[&Ready]) -> Option<Money> {
    let charges = pieces.iter().filter_map(|p| p.charge);
    // Amounts so large that they do not add up are a slip elsewhere; they must not stop the list.
    let add = |a: i64, m: Money| a.saturating_add(m.to_cents());
    charges.fold(None, |sum, m| {
        Some(Money::cents(add(sum.map_or(0, Money::to_cents), m)))
    })
}
