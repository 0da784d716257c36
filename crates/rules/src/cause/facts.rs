//! What is known of a faulty piece and its firing. Nothing in it names another piece, its maker or its glaze.

use glost_model::book::Edges;
use glost_model::clay::{Clay, Glaze};
use glost_model::cone::Cone;
use glost_model::load::FiringKind;
use glost_model::piece::Piece;
use glost_model::shown::Shown;
use glost_model::{Length, Rate, Temperature};

use super::Paces;

/// All that is looked at. What is `None` is not known.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// Units of whoever reads it.
    pub shown: Shown,
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// Cone that was asked for.
    pub cone: Cone,
    /// The piece.
    pub piece: PieceFacts,
    /// Where it stood.
    pub place: Option<PlaceFacts>,
    /// What its tier reached.
    pub heat: Option<Heat>,
    /// What the other tiers reached on average, by the same means.
    pub elsewhere: Option<f64>,
    /// Paces as planned.
    pub planned: Option<Paces>,
    /// Paces by the log.
    pub logged: Option<Paces>,
    /// Fastest that this wall bears, the same stretches.
    pub wanted: Paces,
    /// Its bisque firing, when the book has it.
    pub bisque: Option<Earlier>,
    /// When it was opened.
    pub opened: Option<Opened>,
    /// Steps by hand with vent, plugs or lid on the way up.
    pub steps: Vec<Step>,
    /// Edges of a crack.
    pub edges: Option<Edges>,
    /// What other pieces have.
    pub others: Vec<Shared>,
}

/// The piece as it went in.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceFacts {
    /// As it was looked over.
    pub piece: Piece,
    /// Its clay, if the studio knows it.
    pub clay: Option<Clay>,
    /// Its glazes that the studio knows.
    pub glazes: Vec<Glaze>,
}

/// Where other ware was that gives something off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Near {
    /// Nowhere in the kiln.
    Nowhere,
    /// On another tier.
    InKiln,
    /// On the same tier.
    OnTier,
}

/// Its place.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceFacts {
    /// Tier.
    pub tier: String,
    /// Free distance to the nearest neighbour, wall or post.
    pub gap: Length,
    /// The rule book's.
    pub gap_wanted: Length,
    /// Bare margin that the rule book wants above the foot.
    pub margin_wanted: Length,
    /// On stilts, pins or a slab.
    pub supports: Vec<String>,
    /// Its lowest part above the shelf.
    pub raised: Length,
    /// On or in another piece.
    pub piled: bool,
    /// Nothing but the lid above it.
    pub top: bool,
    /// The lowest tier.
    pub bottom: bool,
    /// Other ware whose glaze gives off chromium.
    pub chrome: Near,
    /// Other ware whose glaze gives off copper or another colour.
    pub volatile: Near,
}

/// By what it is known how hot it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum HeatBy {
    /// Witness cones of the tier.
    Cones,
    /// Witness cones of other tiers, and how the tier differs from them in the forecast.
    OtherCones,
    /// The log, and how the tier differs from its sensor in the forecast.
    Log,
    /// The forecast alone.
    Forecast,
}

/// What a reading can tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bound {
    /// The place itself.
    Exact,
    /// A cone lies flat: at least so hot.
    AtLeast,
    /// A cone stands upright: at most so hot.
    AtMost,
}

/// Heat-work of a tier.
#[derive(Debug, Clone, PartialEq)]
pub struct Heat {
    /// Place on the ladder of cones.
    pub position: f64,
    /// The same as loaders say it: `6.8`.
    pub said: String,
    /// By what.
    pub by: HeatBy,
    /// What the reading can tell.
    pub bound: Bound,
}

/// An earlier firing of the piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Earlier {
    /// Its cone.
    pub cone: Cone,
    /// Pace while carbon burns out.
    pub burn_out: Option<Rate>,
    /// Whether that is by its log.
    pub logged: bool,
}

/// How it was opened.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opened {
    /// What the display or the log showed.
    pub at: Temperature,
    /// From where on the plan would have it open.
    pub below: Option<Temperature>,
}

/// A step by hand.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// When and what, in words.
    pub words: String,
    /// Somebody wrote down that it was done.
    pub done: bool,
}

/// What pieces have in common.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Group {
    /// The whole firing.
    Firing,
    /// The tier.
    Tier,
    /// A glaze.
    Glaze,
    /// The clay.
    Clay,
    /// The maker.
    Maker,
}

/// Other pieces of the firing, with the same fault and in all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Shared {
    /// What they share.
    pub group: Group,
    /// Of those that share it: faulty, all.
    pub with: (usize, usize),
    /// Of those that do not: faulty, all.
    pub without: (usize, usize),
    /// In other firings of those that share it: faulty, all.
    pub before: (usize, usize),
}

impl Facts {
    /// A pace as it was: by the log where that covers it, else as planned. Answers how much it is worth, too.
    pub(super) fn pace<T>(&self, of: impl Fn(&Paces) -> Option<T>) -> Option<(T, bool)> {
        let logged = self.logged.as_ref().and_then(&of).map(|r| (r, true));
        logged.or_else(|| self.planned.as_ref().and_then(&of).map(|r| (r, false)))
    }

    /// The tier in words.
    pub(super) fn tier(&self) -> String {
        self.place
            .as_ref()
            .map_or_else(|| "its tier".to_owned(), |p| format!("tier {}", p.tier))
    }
}
