//! Two plans side by side: what goes in each, and what each is foreseen to give.

use std::collections::BTreeMap;

use glost_check::{Breach, judge};
use glost_model::piece::PieceId;
use glost_model::plan_file::PlanFile;
use glost_model::text;
use glost_model::{Energy, Money, Span};
use glost_rules::RuleBook;

/// What can be read off one plan. What is foreseen is missing where nothing is foreseen.
#[derive(Debug, Clone, PartialEq)]
pub struct Side {
    /// Kiln and cone, in words.
    pub job: String,
    /// Pieces that go.
    pub pieces: usize,
    /// Pieces that stay out.
    pub left_out: usize,
    /// Tiers.
    pub tiers: usize,
    /// Value of the pieces that go.
    pub value: f64,
    /// The hold at the peak is over, since the start.
    pub peak_over: Option<Span>,
    /// Energy drawn.
    pub energy: Option<Energy>,
    /// What it costs; nothing where energy has no price.
    pub cost: Option<Money>,
    /// Currency of the cost.
    pub currency: String,
    /// Between the zones that get most and least heat-work, cones.
    pub spread: Option<f64>,
    /// Rules that it breaks by the judge; nothing when the rules of its studio cannot be read.
    pub breaches: Option<Vec<Breach>>,
}

/// A piece that stands on another tier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OtherTier {
    /// Which.
    pub piece: PieceId,
    /// Its tier in the one plan.
    pub a: String,
    /// Its tier in the other.
    pub b: String,
}

/// How two plans differ. Pieces are known by their names.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// The one plan.
    pub a: Side,
    /// The other.
    pub b: Side,
    /// Pieces that go in both on tiers of the same name, but stand elsewhere there.
    pub shifted: Vec<PieceId>,
    /// Pieces that go in both and stay where they are.
    pub same: usize,
    /// Pieces that go in both, on other tiers.
    pub other_tier: Vec<OtherTier>,
    /// Pieces that go only in the one.
    pub only_a: Vec<PieceId>,
    /// Pieces that go only in the other.
    pub only_b: Vec<PieceId>,
}

/// Compares two plans, of one kiln or of two.
pub fn compare(a: &PlanFile, b: &PlanFile) -> Comparison {
    let places = |plan: &PlanFile| -> BTreeMap<PieceId, (String, [u64; 3])> {
        let all = plan.load.placed();
        all.map(|(t, p)| {
            let at = [p.x_m.to_m(), p.y_m.to_m(), p.rotation_rad.to_rad()];
            (p.piece.clone(), (t.name.clone(), at.map(f64::to_bits)))
        })
        .collect()
    };
    let (in_a, in_b) = (places(a), places(b));
    let mut out = Comparison {
        a: side(a),
        b: side(b),
        shifted: Vec::new(),
        same: 0,
        other_tier: Vec::new(),
        only_a: Vec::new(),
        only_b: Vec::new(),
    };
    for (piece, (tier, at)) in &in_a {
        match in_b.get(piece) {
            None => out.only_a.push(piece.clone()),
            Some((other, _)) if other != tier => out.other_tier.push(OtherTier {
                piece: piece.clone(),
                a: tier.clone(),
                b: other.clone(),
            }),
            Some((_, there)) if there != at => out.shifted.push(piece.clone()),
            Some(_) => out.same += 1,
        }
    }
    let new = in_b.into_keys().filter(|p| !in_a.contains_key(p));
    out.only_b = new.collect();
    out
}

fn side(plan: &PlanFile) -> Side {
    let forecast = plan.forecast.as_ref();
    let spread = forecast.and_then(|f| {
        let cones = || f.zones.iter().map(|z| z.cone_position);
        let (low, high) = (cones().reduce(f64::min)?, cones().reduce(f64::max)?);
        Some(high - low)
    });
    let book = RuleBook::from_overrides(&plan.studio.rule_overrides, text::STUDIO);
    Side {
        job: format!("kiln {}, cone {}", plan.load.kiln, plan.load.cone),
        pieces: plan.load.placed().count(),
        left_out: plan.load.left_out.len(),
        tiers: plan.load.tiers.len(),
        value: plan.load.worth.value,
        peak_over: forecast
            .zip(plan.firing.as_ref())
            .and_then(|(f, firing)| f.peak_over(firing)),
        energy: forecast.map(|f| f.energy_j),
        cost: forecast
            .map(|f| f.cost_cents)
            .filter(|_| plan.studio.tariff.has_price()),
        currency: plan.studio.tariff.currency.clone(),
        spread,
        breaches: book.ok().map(|book| judge(&plan.studio, &book, &plan.load)),
    }
}
