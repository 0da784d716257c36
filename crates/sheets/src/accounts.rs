//! What makers owe and have paid, as a table for bookkeeping programs.

use glost_model::Money;
use jiff::civil::Date;

use crate::table::row;

/// Heads of the columns. Programs look for them, so they stay as they are; a new column goes to the end.
const HEAD: [&str; 8] = [
    "date", "maker", "code", "what", "firing", "amount", "currency", "note",
];

/// One amount.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AccountLine {
    /// Day that it belongs to.
    pub date: Date,
    /// Whose account.
    pub maker: String,
    /// Short code of the piece; empty when it is not about a piece.
    pub code: String,
    /// What it is for.
    pub what: String,
    /// Which firing; may be empty.
    pub firing: String,
    /// Owed when above nothing, paid or given back when below.
    pub amount: Money,
    /// Code or sign of the currency.
    pub currency: String,
    /// Anything else; may be empty.
    pub note: String,
}

/// The lines as CSV (RFC 4180) with a head. Amounts are decimals with a point and two places, dates are as in ISO 8601.
///
/// A text that a spreadsheet would take for a formula gets an apostrophe before it: names and words come from outside,
/// and a formula in them could send the table away or change it.
pub fn accounts_csv(lines: &[AccountLine]) -> String {
    let mut out = row(&HEAD.map(str::to_owned));
    for line in lines {
        out += &row(&[
            line.date.to_string(),
            harmless(&line.maker),
            harmless(&line.code),
            harmless(&line.what),
            harmless(&line.firing),
            decimal(line.amount),
            harmless(&line.currency),
            harmless(&line.note),
        ]);
    }
    out
}

/// An amount as a decimal, exact to the hundredth: `-12.05`.
pub(crate) fn decimal(amount: Money) -> String {
    let cents = amount.to_cents();
    let sign = if cents < 0 { "-" } else { "" };
    let cents = cents.unsigned_abs();
    format!("{sign}{}.{:02}", cents / 100, cents % 100)
}

/// A text with an apostrophe before it when a spreadsheet would take it for a formula. Spreadsheets skip white space
/// before one, and some take the wide signs for the narrow ones.
pub fn harmless(text: &str) -> String {
    let first = text.chars().find(|c| !c.is_whitespace() && !c.is_control());
    if first.is_some_and(|c| "=+-@＝＋－＠".contains(c)) {
        format!("'{text}")
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_exact() {
        for (cents, told) in [
            (0, "0.00"),
            (5, "0.05"),
            (-5, "-0.05"),
            (-1250, "-12.50"),
            (i64::MAX, "92233720368547758.07"),
            (i64::MIN, "-92233720368547758.08"),
        ] {
            assert_eq!(decimal(Money::cents(cents)), told);
        }
    }

    #[test]
    fn formulas_are_text() {
        for formula in ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " \r\n=1", "＝1"] {
            assert_eq!(harmless(formula), format!("'{formula}"));
        }
        for name in ["Nia Corran", "", "O'Neill", "a=b", "'=1"] {
            assert_eq!(harmless(name), name);
        }
    }
}
