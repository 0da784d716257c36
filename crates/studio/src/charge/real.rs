//! What a firing really costs, and whose share is what.

use std::collections::BTreeMap;

use glost_model::load::{FiringKind, Placed};
use glost_model::piece::Piece;
use glost_model::plan_file::PlanFile;
use glost_model::shape::Outline;
use glost_model::{Energy, Length, Money, Span};
use glost_rules::{RuleBook, value};
use jiff::ZonedDateTime;
use thiserror::Error;

use super::{say, split};

/// Why a firing has no cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum NoCost {
    /// Its energy is not known.
    #[error("this firing is not foreseen yet: plan its programme, then its cost can be worked out")]
    NotForeseen,
    /// Nobody's ware is in it.
    #[error("nothing is in this load: add ware to share its cost")]
    NoWare,
}

/// What one firing costs, and whose share is what.
#[derive(Debug, Clone, PartialEq)]
pub struct Shares {
    /// Energy at its price.
    pub energy: Money,
    /// The highest draw at its price, as if no other in the bill's period were higher.
    pub draw: Money,
    /// Elements, shelves and other things that firings wear out, at the studio's price a firing.
    pub wear: Money,
    /// By maker, in the order of their names. Amounts sum to [`Self::whole`].
    pub makers: Vec<Share>,
    /// How it was worked out, with its numbers.
    pub words: String,
}

impl Shares {
    /// The whole cost.
    pub fn whole(&self) -> Money {
        self.energy + self.draw + self.wear
    }
}

/// One maker's share.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// Who made the pieces.
    pub maker: String,
    /// How many of the load's pieces are theirs.
    pub pieces: usize,
    /// Their part of the space, 0 to 1.
    pub space: f64,
    /// Their part of the mass, which takes up the heat, 0 to 1.
    pub mass: f64,
    /// What that costs.
    pub amount: Money,
}

/// Works out what the firing of a plan costs: the forecast's energy by the tariff (by the hour when
/// its start is known), its highest draw, and `wear`, the studio's own price for what a firing wears
/// out. Each maker pays the mean of two parts: that of the space their ware takes with its gaps
/// (grown by half the gap all round, and by the gap above it), and that of its mass. So a tall light
/// vase pays for room and a small heavy tile for heat; the mean of the two is proposed here. The
/// empty part of the kiln and its furniture are shared in the same way.
///
/// # Errors
/// [`NoCost`].
pub fn real_cost(
    plan: &PlanFile,
    start: Option<&ZonedDateTime>,
    wear: Money,
) -> Result<Shares, NoCost> {
    let forecast = plan.forecast.as_ref().ok_or(NoCost::NotForeseen)?;
    let tariff = &plan.studio.tariff;
    let energy = match start {
        Some(start) => {
            // The forecast's first sample comes after the kiln has drawn its first.
            let mut drawn = vec![(Span::ZERO, Energy::ZERO)];
            drawn.extend(forecast.drawn());
            tariff.cost_from(start, &drawn)
        }
        None => tariff.cost(forecast.energy_j),
    };
    let draw = tariff.cost_of_draw(forecast.highest_w);
    let mut shares = Shares {
        energy,
        draw,
        wear,
        makers: makers(plan)?,
        words: String::new(),
    };
    let weights: Vec<f64> = shares.makers.iter().map(|m| m.space + m.mass).collect();
    let parts = split(shares.whole(), &weights);
    for (maker, part) in shares.makers.iter_mut().zip(parts) {
        maker.amount = part;
    }
    shares.words = format!(
        "{:.1} kWh for {}, highest draw {:.1} kW for {}, wear {}: {} in all, shared by the mean of space and mass",
        forecast.energy_j.to_kwh(),
        say(energy),
        forecast.highest_w.to_kw(),
        say(draw),
        say(wear),
        say(shares.whole()),
    );
    Ok(shares)
}

fn makers(plan: &PlanFile) -> Result<Vec<Share>, NoCost> {
    // A plan was made with its rules, so they can be read; if not, the usual gaps are near enough.
    let book = RuleBook::from_overrides(&plan.studio.rule_overrides, "").unwrap_or_default();
    let beside = match plan.load.kind {
        FiringKind::Bisque => book.length(&value::gap_bisque::RULE),
        FiringKind::Glaze => book.length(&value::gap_ware::RULE),
    };
    let above = book.length(&value::gap_above::RULE);
    let mut makers = BTreeMap::<&str, Share>::new();
    let (mut space, mut mass) = (0.0, 0.0);
    for (_, placed) in plan.load.placed() {
        let Some(piece) = plan.studio.piece(&placed.piece) else {
            continue;
        };
        let share = makers.entry(&piece.maker).or_insert_with(|| Share {
            maker: piece.maker.clone(),
            pieces: 0,
            space: 0.0,
            mass: 0.0,
            amount: Money::cents(0),
        });
        let swept = swept_m3(piece, placed, beside, above);
        share.pieces += 1;
        share.space += swept;
        share.mass += piece.mass.to_kg();
        space += swept;
        mass += piece.mass.to_kg();
    }
    if makers.is_empty() {
        return Err(NoCost::NoWare);
    }
    let part = |of: f64, whole: f64| if whole > 0.0 { of / whole } else { 0.0 };
    let shares = makers.into_values().map(|mut share| {
        share.space = part(share.space, space);
        share.mass = part(share.mass, mass);
        share
    });
    Ok(shares.collect())
}

/// The space of a piece with its gaps, m³. What stands on another piece is lifted by that piece,
/// which pays for it; supports are its own.
fn swept_m3(piece: &Piece, placed: &Placed, beside: Length, above: Length) -> f64 {
    let lifted = match placed.on {
        Some(_) => Length::ZERO,
        None => placed.raised_m,
    };
    let half = beside.to_m() / 2.0;
    // Area of an outline grown all round (Steiner's formula; a little more for hollow outlines).
    let area = piece.widest.area().to_m2()
        + girth_m(&piece.widest) * half
        + std::f64::consts::PI * half * half;
    area * (piece.height + lifted + above).to_m()
}

fn girth_m(outline: &Outline) -> f64 {
    let pi = std::f64::consts::PI;
    match outline {
        Outline::Circle { diameter } => pi * diameter.to_m(),
        Outline::Ellipse { length, width } => {
            // Ramanujan's first approximation, within 0.5 % for any ware.
            let (a, b) = (length.to_m() / 2.0, width.to_m() / 2.0);
            pi * (3.0 * (a + b) - ((3.0 * a + b) * (a + 3.0 * b)).sqrt())
        }
        Outline::Rectangle { length, width } => 2.0 * (*length + *width).to_m(),
        Outline::Polygon { points } => points
            .iter()
            .zip(points.iter().cycle().skip(1))
            .map(|(a, b)| (b.x - a.x).to_m().hypot((b.y - a.y).to_m()))
            .sum(),
    }
}
