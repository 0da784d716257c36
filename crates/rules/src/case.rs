//! What a fit rule looks at, and what it answers.

use glost_model::clay::{Clay, Glaze};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::piece::Piece;
use glost_model::studio::Studio;
use serde::Serialize;

use crate::RuleBook;

/// How grave a finding is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// May go; the person should know.
    Warn,
    /// May go only with what it needs.
    Require,
    /// May not go.
    Block,
}

/// What a piece needs so that it can go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Need {
    /// A stilt under its glazed foot.
    Stilt,
    /// Pins that raise it.
    PinSupport,
    /// A waster slab that catches runs.
    WasterSlab,
}

/// What a rule has to say.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// Which rule.
    pub rule: &'static str,
    /// How grave.
    pub level: Level,
    /// Why.
    pub why: String,
    /// What would help.
    pub remedy: String,
    /// What the piece needs, when the level is [`Level::Require`].
    pub need: Option<Need>,
}

impl Finding {
    /// A refusal.
    pub fn block(rule: &'static str, why: String, remedy: &str) -> Self {
        Self {
            rule,
            level: Level::Block,
            why,
            remedy: remedy.to_owned(),
            need: None,
        }
    }
    /// A warning.
    pub fn warn(rule: &'static str, why: String, remedy: &str) -> Self {
        Self {
            rule,
            level: Level::Warn,
            why,
            remedy: remedy.to_owned(),
            need: None,
        }
    }
    /// A yes with a condition.
    pub fn require(rule: &'static str, need: Need, why: String, remedy: &str) -> Self {
        Self {
            rule,
            level: Level::Require,
            why,
            remedy: remedy.to_owned(),
            need: Some(need),
        }
    }
}

/// One piece put to one firing.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// The studio with its clays and glazes.
    pub studio: &'a Studio,
    /// Its rule book.
    pub book: &'a RuleBook,
    /// The piece.
    pub piece: &'a Piece,
    /// Cone of the firing.
    pub cone: Cone,
    /// Bisque or glaze.
    pub kind: FiringKind,
}

impl<'a> Case<'a> {
    /// A length in the studio's units.
    pub fn length(&self, l: glost_model::Length) -> String {
        self.studio.shown.length(l)
    }
    /// The piece's clay, if the studio knows it.
    pub fn clay(&self) -> Option<&'a Clay> {
        self.studio.clay(&self.piece.clay)
    }
    /// The piece's glazes that the studio knows.
    pub fn glazes(&self) -> impl Iterator<Item = &'a Glaze> {
        let studio = self.studio;
        self.piece
            .glazes
            .iter()
            .filter_map(move |g| studio.glaze(g))
    }
}
