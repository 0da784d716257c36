//! Rules of the trade, each in a file of its own with its id, default, reason and source.
//!
//! Kiln nameplate, makers' instructions and local codes outrank every rule here. A studio may
//! replace any number; see [`RuleBook::from_overrides`].

mod book;
mod case;
pub mod cause;
pub mod fit;
pub mod mix;
pub mod value;

pub use book::RuleBook;
pub use case::{Case, Finding, Level, Need};

use glost_model::{Length, Mass};

/// What a rule is set to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Setting {
    /// A length.
    Length(Length),
    /// Steps on the cone ladder, or a place on it.
    Cones(f64),
    /// A mass.
    Mass(Mass),
    /// So many pieces.
    Count(u16),
    /// So many things, or none.
    Several(u16),
    /// So many times something else.
    Times(f64),
}

/// One rule that is a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// Short name used in overrides and findings.
    pub id: &'static str,
    /// What it sets, in words.
    pub title: &'static str,
    /// Value when the studio says nothing.
    pub default: Setting,
    /// Why.
    pub reason: &'static str,
    /// Who says so.
    pub source: &'static str,
}
