//! Weights of what speaks for a cause and against it, in natural logarithms of odds. Proposed here, no source: they
//! make an order, and a fact of one's own counts for more than what is usual.

/// The usual cause of a fault, before anything is looked at.
pub const OFTEN: f64 = 1.0;
/// One cause among others.
pub const USUAL: f64 = 0.0;
/// Seldom.
pub const SELDOM: f64 = -1.0;

/// Seven times as likely.
pub const STRONG: f64 = 2.0;
/// Three times as likely.
pub const CLEAR: f64 = 1.2;
/// Nearly twice as likely.
pub const SOME: f64 = 0.6;

/// No single fact moves a cause further.
const MOST: f64 = 3.0;

/// Which way a fact speaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// For the cause.
    For,
    /// Against it.
    Against,
    /// Not known: what would tell.
    Unknown,
}

/// One fact as it bears on a cause.
#[derive(Debug, Clone, PartialEq)]
pub struct Reason {
    /// Which way.
    pub side: Side,
    /// In words.
    pub words: String,
    /// Added to the cause's rank.
    pub weight: f64,
}

/// Reasons as they are found.
#[derive(Debug, Default)]
pub struct Reasons(pub(super) Vec<Reason>);

impl Reasons {
    /// A fact that speaks for the cause, or by a weight below nothing against it.
    pub fn speaks(&mut self, weight: f64, words: impl Into<String>) {
        if !weight.is_finite() || weight == 0.0 {
            return;
        }
        let side = if weight > 0.0 {
            Side::For
        } else {
            Side::Against
        };
        self.0.push(Reason {
            side,
            words: words.into(),
            weight: weight.clamp(-MOST, MOST),
        });
    }

    /// What nobody knows, and what would tell.
    pub fn unknown(&mut self, words: impl Into<String>) {
        self.0.push(Reason {
            side: Side::Unknown,
            words: words.into(),
            weight: 0.0,
        });
    }
}
