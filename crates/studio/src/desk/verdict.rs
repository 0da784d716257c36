//! Fit to fire? Answered at once, with reasons.

use glost_model::Length;
use glost_model::cone::Cone;
use glost_model::kiln::Kiln;
use glost_model::load::FiringKind;
use glost_model::piece::{Piece, Stage};
use glost_rules::{Case, Finding, Level, fit};

use super::Given;

/// Whether a piece may go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Answer {
    /// As it is.
    Yes,
    /// With what the findings ask for.
    YesWith,
    /// Not.
    No,
}

/// The answer for one piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Verdict {
    /// The answer.
    pub answer: Answer,
    /// The cone that it is for; nothing when none suits.
    pub cone: Option<Cone>,
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// What the rules say about it at that cone, gravest first.
    pub findings: Vec<Finding>,
}

impl Verdict {
    /// In a few words.
    pub fn words(&self) -> &'static str {
        match self.answer {
            Answer::Yes => "Fit to fire",
            Answer::YesWith => "Fit to fire, with this",
            Answer::No => "Not fit to fire",
        }
    }
}

/// Usual bisque cones, the most usual first (trade.md: bisque to cone 04 or 06; common practice).
const BISQUE: [&str; 3] = ["06", "05", "04"];

/// Looks a piece over at the cone that its maker asked for, or else at the one that suits it best.
pub fn verdict(given: &Given, piece: &Piece) -> Verdict {
    let kind = match piece.stage {
        Stage::Greenware => FiringKind::Bisque,
        Stage::Glazed => FiringKind::Glaze,
    };
    let cones: Vec<Cone> = match (piece.asked_cone, kind) {
        (Some(cone), _) => vec![cone],
        (None, FiringKind::Bisque) => BISQUE.iter().filter_map(|c| Cone::parse(c).ok()).collect(),
        (None, FiringKind::Glaze) => glaze_cones(given, piece),
    };
    let look = |cone: Cone| {
        let case = Case {
            studio: &given.studio,
            book: &given.book,
            piece,
            cone,
            kind,
        };
        let findings = fit::findings(&case);
        let answer = match findings.iter().map(|f| f.level).max() {
            Some(Level::Block) => Answer::No,
            Some(Level::Require) => Answer::YesWith,
            Some(Level::Warn) | None => Answer::Yes,
        };
        Verdict {
            answer,
            cone: Some(cone),
            kind,
            findings,
        }
    };
    let mut best = cones
        .into_iter()
        .map(look)
        .min_by_key(|v| (v.answer, v.findings.len()))
        .unwrap_or(Verdict {
            answer: Answer::No,
            cone: None,
            kind,
            findings: Vec::new(),
        });
    no_kiln(given, piece, &mut best);
    best
}

/// Cones at which clay and glazes are right, hottest first; the clay's own when the glazes are not known.
fn glaze_cones(given: &Given, piece: &Piece) -> Vec<Cone> {
    let clay = given.studio.clay(&piece.clay);
    let glazes: Vec<_> = piece
        .glazes
        .iter()
        .filter_map(|g| given.studio.glaze(g))
        .collect();
    let fits = |c: &Cone| {
        clay.is_none_or(|k| k.cone_from <= *c && *c <= k.cone_to)
            && glazes.iter().all(|g| g.cone_from <= *c && *c <= g.cone_to)
    };
    let mut all: Vec<Cone> = Cone::all().filter(fits).collect();
    all.reverse();
    if all.is_empty() {
        all.extend(
            glazes
                .first()
                .map(|g| g.cone_to)
                .or(clay.map(|c| c.cone_to)),
        );
    }
    all.truncate(8);
    all
}

/// No kiln of the studio reaches the cone, or is as high as the piece.
fn no_kiln(given: &Given, piece: &Piece, verdict: &mut Verdict) {
    let Some(cone) = verdict.cone else { return };
    let kilns: &[Kiln] = &given.studio.kilns;
    if !kilns.is_empty() && kilns.iter().all(|k| k.max_cone < cone) {
        verdict.answer = Answer::No;
        verdict.findings.insert(
            0,
            Finding::block(
                "kiln-cone",
                format!("no kiln here is rated to cone {cone}"),
                "Ask its maker for a cooler glaze, or fire it elsewhere",
            ),
        );
    }
    let highest = kilns.iter().map(|k| k.height).reduce(Length::max);
    if let Some(inside) = highest.filter(|inside| piece.height > *inside) {
        let shown = given.studio.shown;
        verdict.answer = Answer::No;
        verdict.findings.insert(
            0,
            Finding::block(
                "kiln-height",
                format!(
                    "it is {} high, and no kiln here is more than {} high inside",
                    shown.length(piece.height),
                    shown.length(inside)
                ),
                "Measure it again; fire it elsewhere, or in parts",
            ),
        );
    }
}
