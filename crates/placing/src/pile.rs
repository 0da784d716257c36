//! Piles of greenware: pieces on and in one another on one footprint, made before they are placed.
//! To the search a pile is one body: its lowest piece, as high and heavy as the whole. Everything
//! above lies within that piece's outline.

mod best;
mod limits;
#[cfg(test)]
mod tests;
mod top_up;

use std::cmp::Ordering;

use glost_model::load::{FiringKind, How, LoadPlan, On};
use glost_model::piece::Piece;

use crate::plan::PlanAsk;
use crate::ware::Ware;
pub use best::best;
use limits::{Limits, Link, WAYS};

/// A piece on or in another of its pile.
#[derive(Debug, Clone)]
pub struct Over<'a> {
    /// The piece.
    pub piece: &'a Piece,
    /// What it stands on.
    pub on: On,
    /// Height of its lowest part above what the pile stands on, m.
    pub raised_m: f64,
    /// What the loader should mind about it.
    pub mind: Vec<String>,
}

/// Ware with as many piles as its limits allow, none higher than `tallest_m` or than its own
/// lowest piece. Ware that must go makes piles of its own as far as it can, so that it takes little
/// room; large pieces are the lowest, and each gets the largest that it can carry.
fn piled<'a>(ask: &PlanAsk<'_>, ware: &[Ware<'a>], tallest_m: f64) -> Vec<Ware<'a>> {
    let limits = Limits::of(ask.book);
    let mut order: Vec<usize> = (0..ware.len()).collect();
    order.sort_by(|&a, &b| urgent_then_large(&ware[a], &ware[b]));
    let (mut free, alone): (Vec<usize>, Vec<usize>) = order
        .into_iter()
        .partition(|&i| limits.may_join(ask.studio, &ware[i]));
    let mut out: Vec<Ware<'a>> = alone.into_iter().map(|i| ware[i].clone()).collect();
    while !free.is_empty() {
        let lowest = free.remove(0);
        let mut pile = vec![lowest];
        let mut links = vec![Link::lowest(ware[lowest].piece)];
        while let Some((k, link)) = next(&limits, ware, &links, &free, tallest_m) {
            free.retain(|&j| j != k);
            pile.push(k);
            links.push(link);
        }
        out.push(joined(ware, &pile, &links));
    }
    out.sort_by(|a, b| {
        let value = b.value.total_cmp(&a.value);
        value.then_with(|| a.piece.id.cmp(&b.piece.id))
    });
    out
}

/// The largest free piece that may come next, in the way that adds least height.
fn next<'a>(
    limits: &Limits,
    ware: &[Ware<'a>],
    links: &[Link<'a>],
    free: &[usize],
    tallest_m: f64,
) -> Option<(usize, Link<'a>)> {
    let most = tallest_m.max(links[0].top_m());
    WAYS.into_iter().find_map(|how| {
        // A set that is not whole takes its pile out with it.
        let of_set = |k: &&usize| ware[**k].piece.group == links[0].piece.group;
        free.iter().filter(of_set).find_map(|&k| {
            let link = limits.joins(links, ware[k].piece, how)?;
            (link.top_m() <= most).then_some((k, link))
        })
    })
}

fn urgent_then_large(a: &Ware<'_>, b: &Ware<'_>) -> Ordering {
    let urgent = b.urgent.cmp(&a.urgent);
    urgent
        .then_with(|| b.area_m2.total_cmp(&a.area_m2))
        .then_with(|| b.mass_kg.total_cmp(&a.mass_kg))
        .then_with(|| a.piece.id.cmp(&b.piece.id))
}

/// One body of all the pieces of a pile.
fn joined<'a>(ware: &[Ware<'a>], pile: &[usize], links: &[Link<'a>]) -> Ware<'a> {
    let mut whole = ware[pile[0]].clone();
    for (k, pair) in pile[1..].iter().zip(links.windows(2)) {
        let guest = &ware[*k];
        whole.over.push(over(&pair[0], &pair[1], &guest.mind));
        whole.body.top_m = whole.body.top_m.max(pair[1].top_m());
        whole.mass_kg += guest.mass_kg;
        whole.value += guest.value;
        whole.urgent |= guest.urgent;
    }
    whole
}

fn over<'a>(host: &Link<'a>, guest: &Link<'a>, mind: &[String]) -> Over<'a> {
    let on = On {
        piece: host.piece.id.clone(),
        how: guest.how.unwrap_or(How::Piled),
    };
    let more = match on.how {
        How::Nested => Some(format!(
            "It dries and heats last inside {}: leave it out if you doubt that it is dry, and see that it touches no wall",
            on.piece
        )),
        How::RimToRim => Some(format!(
            "Its rim and that of {} must meet all round",
            on.piece
        )),
        How::FootToFoot => Some(format!(
            "Its foot and that of {} must meet all round and not rock",
            on.piece
        )),
        How::Piled => None,
    };
    Over {
        piece: guest.piece,
        on,
        raised_m: guest.raised_m,
        mind: mind.iter().cloned().chain(more).collect(),
    }
}

/// The ware of a plan as the bodies that stand in it: what is on or in a piece belongs to it, up to
/// the first that is not among the ware or that `parts`.
pub fn as_planned<'a>(
    mut ware: Vec<Ware<'a>>,
    from: &LoadPlan,
    parts: &dyn Fn(&str) -> bool,
) -> Vec<Ware<'a>> {
    let number = |id: &str| ware.iter().position(|w| w.piece.id == id);
    let mut piles: Vec<(Vec<usize>, Vec<Link<'a>>)> = Vec::new();
    for tier in &from.tiers {
        let mut open = false;
        for p in &tier.pieces {
            let at = number(&p.piece);
            open = match (&p.on, at) {
                (None, Some(i)) => {
                    piles.push((vec![i], vec![Link::lowest(ware[i].piece)]));
                    true
                }
                (Some(on), Some(i)) if open && !parts(&p.piece) => {
                    if let Some((pile, links)) = piles.last_mut() {
                        pile.push(i);
                        links.push(Link {
                            piece: ware[i].piece,
                            how: Some(on.how),
                            raised_m: p.raised_m.to_m(),
                        });
                    }
                    true
                }
                _ => false,
            };
        }
    }
    piles.retain(|(pile, _)| pile.len() > 1);
    for (pile, links) in &piles {
        ware[pile[0]] = joined(&ware, pile, links);
    }
    // Whoever stands on another comes with it.
    let guests: std::collections::BTreeSet<&str> = piles
        .iter()
        .flat_map(|(_, links)| links[1..].iter().map(|l| l.piece.id.as_str()))
        .collect();
    ware.retain(|w| !guests.contains(w.piece.id.as_str()));
    ware
}

/// The same ware for the bound: as all pieces of a pile stand within the outline of its lowest,
/// the room of a pile is at least the sum of theirs over the most that a pile may hold.
pub fn loosened<'a>(ask: &PlanAsk<'_>, ware: &[Ware<'a>]) -> Vec<Ware<'a>> {
    let mut out = ware.to_vec();
    if ask.kind != FiringKind::Bisque {
        return out;
    }
    let limits = Limits::of(ask.book);
    let joins: Vec<bool> = ware
        .iter()
        .map(|w| limits.may_join(ask.studio, w))
        .collect();
    let pair = |i: usize, k: usize| {
        let [a, b] = [ware[i].piece, ware[k].piece];
        i != k && joins[i] && joins[k] && WAYS.iter().any(|how| limits.pair(a, b, *how).is_some())
    };
    for (i, w) in out.iter_mut().enumerate() {
        if (0..ware.len()).any(|k| pair(i, k) || pair(k, i)) {
            w.area_m2 /= limits.most as f64;
        }
    }
    out
}
