//! Ware that stands on or in other ware, as it is told and drawn.

use glost_model::load::{Placed, Tier};

/// The piece on the shelf and what stands on and in it, each with its number in placing order.
pub(crate) fn over<'a>(tier: &'a Tier, lowest: &Placed) -> Vec<(usize, &'a Placed)> {
    let mut ids = vec![lowest.piece.as_str()];
    let mut out = Vec::new();
    for (i, p) in tier.pieces.iter().enumerate() {
        let stands = p.on.as_ref().is_some_and(|on| ids.contains(&&*on.piece));
        if stands {
            ids.push(&p.piece);
        }
        if stands || std::ptr::eq(p, lowest) {
            out.push((i + 1, p));
        }
    }
    out
}

/// Whether something stands on or in other ware.
pub(crate) fn any(tier: &Tier) -> bool {
    tier.pieces.iter().any(|p| p.on.is_some())
}

/// Numbers of a pile: `3`, `3–6`, or `3+5` where they do not follow on one another.
pub(crate) fn numbers(pile: &[(usize, &Placed)]) -> String {
    let n: Vec<usize> = pile.iter().map(|(n, _)| *n).collect();
    match (n.first(), n.last()) {
        (Some(a), Some(b)) if a < b && b - a + 1 == n.len() => format!("{a}–{b}"),
        _ => n
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join("+"),
    }
}
