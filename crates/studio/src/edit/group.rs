//! Pieces that move as one: a piece with all that stands on or in it.

use std::collections::BTreeSet;

use glost_model::load::{LoadPlan, Placed, Tier};

/// Number of the tier of a piece that goes, and its number there.
pub fn find(load: &LoadPlan, piece: &str) -> Option<(usize, usize)> {
    load.tiers.iter().enumerate().find_map(|(k, t)| {
        let n = t.pieces.iter().position(|p| p.piece == piece)?;
        Some((k, n))
    })
}

/// Names of a piece and of all that it carries on its tier, in placing order.
pub fn with_riders<'t>(tier: &'t Tier, piece: &str) -> Vec<&'t str> {
    let mut all: BTreeSet<&str> = BTreeSet::new();
    all.extend(
        tier.pieces
            .iter()
            .map(|p| p.piece.as_str())
            .filter(|p| *p == piece),
    );
    // A plan from elsewhere may list a rider before what carries it.
    loop {
        let more: Vec<&str> = tier
            .pieces
            .iter()
            .filter(|p| !all.contains(p.piece.as_str()))
            .filter(|p| {
                p.on.as_ref()
                    .is_some_and(|o| all.contains(o.piece.as_str()))
            })
            .map(|p| p.piece.as_str())
            .collect();
        if more.is_empty() {
            break;
        }
        all.extend(more);
    }
    let order = tier.pieces.iter().map(|p| p.piece.as_str());
    order.filter(|p| all.contains(p)).collect()
}

/// Takes a piece with all that it carries off its tier, the piece first.
pub fn lift(tier: &mut Tier, piece: &str) -> Vec<Placed> {
    let names: BTreeSet<String> = with_riders(tier, piece)
        .into_iter()
        .map(str::to_owned)
        .collect();
    let (mut up, rest): (Vec<Placed>, Vec<Placed>) = std::mem::take(&mut tier.pieces)
        .into_iter()
        .partition(|p| names.contains(&p.piece));
    tier.pieces = rest;
    up.sort_by_key(|p| p.piece != piece);
    up
}

/// Puts ware in placing order: the far side first, so that nothing is reached over, and each piece
/// before what stands on it.
pub fn in_order(tier: &mut Tier) {
    let mut lowest: Vec<Placed> = Vec::new();
    let mut riders: Vec<Placed> = Vec::new();
    let names: BTreeSet<String> = tier.pieces.iter().map(|p| p.piece.clone()).collect();
    for p in std::mem::take(&mut tier.pieces) {
        let carried = p.on.as_ref().is_some_and(|o| names.contains(&o.piece));
        if carried { &mut riders } else { &mut lowest }.push(p);
    }
    lowest.sort_by(|a, b| b.y_m.total_cmp(&a.y_m).then(a.x_m.total_cmp(&b.x_m)));
    for p in lowest {
        let mut chain = vec![p];
        loop {
            let next = riders.iter().position(|r| {
                let on = r.on.as_ref().map(|o| &o.piece);
                chain.iter().any(|c| Some(&c.piece) == on)
            });
            let Some(n) = next else { break };
            chain.push(riders.remove(n));
        }
        tier.pieces.append(&mut chain);
    }
    // What stands on itself in the end is the judge's to name.
    tier.pieces.append(&mut riders);
}
