//! Two pieces of different tiers in each other's place.

use std::collections::BTreeSet;

use glost_model::forecast::ZoneResult;
use glost_model::load::{LoadPlan, Tier};
use glost_model::piece::Piece;
use glost_placing::{Change, PlanAsk, replan_unproved};

use super::{NEARLY, may_rise, may_sink, reached, spread};

/// Swaps tried in the load for each firing simulated.
const SWAPS: usize = 24;
/// Swaps of ware that weighs nearly the same change nothing, kg.
const DIFFERS_KG: f64 = 0.08;
/// Pieces that may change places are alike in area within these shares.
const ALIKE: std::ops::Range<f64> = 0.7..1.4;

/// The load with one more swap that takes mass from where the heat-work falls short to where there is
/// too much, the most mass first: the quick guess that the model then proves or not.
pub fn next(
    ask: &PlanAsk<'_>,
    load: &LoadPlan,
    zones: &[ZoneResult],
    vain: &mut BTreeSet<(String, String)>,
) -> Option<((String, String), LoadPlan)> {
    let mut pairs: Vec<(f64, &Piece, &Piece)> = Vec::new();
    for (t, u) in load
        .tiers
        .iter()
        .flat_map(|t| load.tiers.iter().map(move |u| (t, u)))
    {
        let apart = reached(zones, u)
            .zip(reached(zones, t))
            .map_or(0.0, |(hot, cool)| hot - cool);
        if apart < spread(zones) * NEARLY {
            continue;
        }
        for (a, b) in single(ask, t).flat_map(|a| single(ask, u).map(move |b| (a, b))) {
            let more = (a.mass - b.mass).to_kg();
            let (up, down) = if u.top_m > t.top_m { (a, b) } else { (b, a) };
            let wide = a.widest.area().to_m2() / b.widest.area().to_m2();
            let told = vain.contains(&(a.id.clone(), b.id.clone()));
            if more > DIFFERS_KG && may_rise(up) && may_sink(down) && ALIKE.contains(&wide) && !told
            {
                pairs.push((more * apart, a, b));
            }
        }
    }
    pairs.sort_by(|a, b| {
        b.0.total_cmp(&a.0)
            .then_with(|| (&a.1.id, &a.2.id).cmp(&(&b.1.id, &b.2.id)))
    });
    for (_, a, b) in pairs.into_iter().take(SWAPS) {
        let pair = (a.id.clone(), b.id.clone());
        let change = Change {
            swap: vec![pair.clone()],
            ..Change::default()
        };
        match replan_unproved(ask, load, &change) {
            Ok(c)
                if c.load.worth.value >= load.worth.value
                    && c.load.tiers.len() == load.tiers.len() =>
            {
                return Some((pair, c.load));
            }
            _ => vain.insert(pair),
        };
    }
    None
}

/// Ware of a tier that stands by itself.
fn single<'a>(ask: &'a PlanAsk<'_>, tier: &'a Tier) -> impl Iterator<Item = &'a Piece> {
    let alone = |id: &str| {
        !tier
            .pieces
            .iter()
            .any(|p| p.on.as_ref().is_some_and(|on| on.piece == id))
    };
    tier.pieces
        .iter()
        .filter(move |p| p.on.is_none() && alone(&p.piece))
        .filter_map(|p| ask.studio.piece(&p.piece))
}
