//! Where a piece stood by the plan. Of other ware only this much is told: whether its glaze gives colour off.

use glost_model::Length;
use glost_model::clay::Glaze;
use glost_model::load::{FiringKind, LoadPlan, Tier};
use glost_model::piece::Piece;
use glost_rules::cause::{Near, PlaceFacts};
use glost_rules::value;

use super::OneFiring;

/// Its place; nothing without a plan, or when it is not in it.
pub fn place(one: &OneFiring<'_>, piece: &Piece, glazes: &[Glaze]) -> Option<PlaceFacts> {
    let plan = one.plan?;
    let (tier, placed) = plan.load.placed().find(|(_, p)| p.piece == piece.id)?;
    let near = |gives: fn(&Glaze) -> bool| {
        plan.load
            .placed()
            .filter(|(_, p)| p.piece != piece.id)
            .filter(|(_, p)| {
                let other = plan.studio.piece(&p.piece);
                let mut all = other.into_iter().flat_map(|o| &o.glazes);
                all.any(|g| plan.studio.glaze(g).is_some_and(gives))
            })
            .map(|(t, _)| {
                if t.name == tier.name {
                    Near::OnTier
                } else {
                    Near::InKiln
                }
            })
            .max()
            .unwrap_or(Near::Nowhere)
    };
    let gap = match one.firing.kind {
        FiringKind::Bisque => &value::gap_bisque::RULE,
        FiringKind::Glaze if glazes.iter().any(|g| g.runny) => &value::gap_runny::RULE,
        FiringKind::Glaze => &value::gap_ware::RULE,
    };
    Some(PlaceFacts {
        tier: tier.name.clone(),
        gap: placed.gap_m,
        gap_wanted: one.rules.length(gap),
        margin_wanted: one.rules.length(&value::margin_least::RULE),
        supports: placed.supports.clone(),
        raised: placed.raised_m,
        piled: placed.on.is_some(),
        top: is_top(&plan.load, tier),
        bottom: is_bottom(&plan.load, tier),
        chrome: near(|g| g.chrome),
        volatile: near(|g| g.volatile_colour),
    })
}

/// Two shelves of one height, to a hair.
const SAME: Length = Length::mm(1.0);

fn is_top(load: &LoadPlan, tier: &Tier) -> bool {
    let over = |t: &&Tier| t.top_m > tier.top_m + SAME && !t.side.beside(tier.side);
    !load.tiers.iter().any(|t| over(&t))
}

fn is_bottom(load: &LoadPlan, tier: &Tier) -> bool {
    load.tiers.iter().all(|t| tier.top_m <= t.top_m + SAME)
}
