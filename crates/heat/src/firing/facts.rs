//! What of a load decides how it is fired.

use glost_model::cone::Cone;
use glost_model::kiln::Kiln;
use glost_model::load::{FiringKind, LoadPlan};
use glost_model::piece::{Dryness, Piece, Stage};
use glost_model::shown::{Shown, hours};
use glost_model::studio::Studio;
use glost_model::{Length, Span, Temperature};

use crate::kiln::{OpeningLimits, drying_time};

/// The ware whose wall is under most stress when it is heated.
#[derive(Debug, Clone, PartialEq)]
pub struct Strained {
    /// Its name.
    pub piece: String,
    /// Its wall.
    pub wall: Length,
    /// Air is under it; else one face lies on the shelf.
    pub raised: bool,
    /// Unfired.
    pub raw: bool,
}

/// The facts.
#[derive(Debug, Clone)]
pub struct Facts {
    /// Cone wanted.
    pub cone: Cone,
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// Units of the reasons.
    pub shown: Shown,
    /// Thickest wall, and whose.
    pub thickest: Option<(Length, String)>,
    /// Most under stress.
    pub strained: Option<Strained>,
    /// Hold below boiling that the wettest thick piece needs, and whose.
    pub drying: Option<(Span, String)>,
    /// Pieces over 25 mm, or damp.
    pub risky: Vec<String>,
    /// A clay that wants a slow burn-out, by name.
    pub burn_out: Option<String>,
    /// A glaze that wants a slow cooling, by name.
    pub slow_cool: Option<String>,
    /// When the kiln may be opened.
    pub opening: OpeningLimits,
}

/// Drying goes on at this temperature: below boiling, as warm as may be (trade practice 80 to 95 °C).
pub const DRY_AT: Temperature = Temperature::c(88.0);
/// Longer holds are cut to this: an over-night hold; thicker ware belongs in a firing of its own.
pub const DRY_AT_MOST: Span = Span::h(12.0);
/// Bisque between these places on the ladder, 010 to 1, is nothing to ask about. Common practice, no source.
const BISQUE: std::ops::RangeInclusive<f64> = -9.0..=1.0;
/// Thicker ware has a firing of its own.
const OWN_FIRING: Length = Length::mm(25.0);

impl Facts {
    /// Of a load.
    pub fn of(studio: &Studio, load: &LoadPlan) -> Self {
        let pieces: Vec<&Piece> = load
            .placed()
            .filter_map(|(_, p)| studio.piece(&p.piece))
            .collect();
        let thick = pieces.iter().max_by(|a, b| a.wall.total_cmp(&b.wall));
        let drying = pieces
            .iter()
            .filter_map(|p| Some((drying_hold(p)?, named(p))))
            .max_by(|a, b| a.0.total_cmp(&b.0));
        let clays = || pieces.iter().filter_map(|p| studio.clay(&p.clay));
        let glazes = || {
            let all = pieces.iter().flat_map(|p| &p.glazes);
            all.filter_map(|g| studio.glaze(g))
        };
        Self {
            cone: load.cone,
            kind: load.kind,
            shown: studio.shown,
            thickest: thick.map(|p| (p.wall, named(p))),
            strained: strained(studio, load),
            drying,
            risky: pieces
                .iter()
                .filter(|p| {
                    let raw = p.stage == Stage::Greenware;
                    p.dryness == Dryness::Damp || (raw && p.wall > OWN_FIRING)
                })
                .map(|p| named(p))
                .collect(),
            burn_out: clays().find(|c| c.slow_burn_out).map(|c| c.name.clone()),
            slow_cool: glazes().find(|g| g.slow_cool).map(|g| g.name.clone()),
            opening: OpeningLimits::of(studio, load),
        }
    }

    /// Some ware is wetter than the longest drying hold can help.
    pub fn stays_wet(&self) -> bool {
        self.drying.as_ref().is_some_and(|(h, _)| *h > DRY_AT_MOST)
    }

    /// Notes that no simulation is needed for.
    pub fn notes(&self, kiln: &Kiln) -> Vec<String> {
        let mut notes = vec![format!(
            "What the maker of {} says about loading, venting, clearances and top temperature goes before this plan.",
            kiln.name
        )];
        if self.kind == FiringKind::Bisque && !BISQUE.contains(&self.cone.position()) {
            notes.push(format!(
                "Bisque is usually fired to cone 08 to 04; this plan is for cone {} ({}). Mind the zero: 06 is not 6.",
                self.cone,
                self.cone.range_name()
            ));
        }
        if !self.risky.is_empty() {
            notes.push(format!(
                "Leave out or fire on their own, damp or very thick: {}.",
                self.risky.join(", ")
            ));
        }
        if let Some((hold, piece)) = &self.drying
            && *hold > DRY_AT_MOST
        {
            notes.push(format!(
                "{piece} would need {} below boiling to be dry; the plan holds {}. Dry it longer in the open first.",
                hours(*hold),
                hours(DRY_AT_MOST)
            ));
        }
        notes
    }
}

/// Hold until a piece is dry enough to pass boiling: by diffusion through its wall, 95 % of its
/// water when it may be damp, 80 % of the little that bone-dry clay holds. Dry bisque needs none.
fn drying_hold(piece: &Piece) -> Option<Span> {
    let left = match (piece.dryness, piece.stage) {
        (Dryness::BoneDry, Stage::Glazed) => return None,
        (Dryness::BoneDry, Stage::Greenware) => 0.2,
        (Dryness::Doubtful | Dryness::Damp, _) => 0.05,
    };
    Some(drying_time(piece.wall / 2.0, DRY_AT, left))
}

/// The thickest way for heat: half the wall of raised ware, all of it where one face lies on a shelf.
fn strained(studio: &Studio, load: &LoadPlan) -> Option<Strained> {
    let way = |s: &Strained| if s.raised { s.wall / 2.0 } else { s.wall };
    load.placed()
        .filter_map(|(_, placed)| {
            let piece = studio.piece(&placed.piece)?;
            Some(Strained {
                piece: named(piece),
                wall: piece.wall,
                raised: placed.raised_m > Length::ZERO,
                raw: piece.stage == Stage::Greenware,
            })
        })
        .max_by(|a, b| way(a).total_cmp(&way(b)))
}

fn named(piece: &Piece) -> String {
    format!("{} ({})", piece.what, piece.id)
}
