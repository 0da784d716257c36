//! Which sorts of firing are held: as few cones as cover all lots.

use std::collections::BTreeSet;

use glost_model::cone::Cone;
use glost_model::load::FiringKind;

use super::lots::Lot;

/// What can be fired together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sort {
    /// Bisque or glaze.
    pub kind: FiringKind,
    /// Its cone.
    pub cone: Cone,
    /// Leaded ware never shares a firing with lead-free ware; bare ware joins either.
    pub leaded: bool,
}

impl Sort {
    /// Whether it suits a lot.
    pub fn suits(&self, lot: &Lot<'_>) -> bool {
        lot.kind == self.kind
            && lot.leaded.is_none_or(|l| l == self.leaded)
            && lot.cones.contains(&self.cone)
    }
}

/// Sorts of firing that between them suit every lot, by kind and cone.
pub fn sorts(lots: &[Lot<'_>]) -> Vec<Sort> {
    let mut all = Vec::new();
    for kind in [FiringKind::Bisque, FiringKind::Glaze] {
        for leaded in [false, true] {
            // Bare ware goes with lead-free ware where nothing says otherwise.
            let of = |l: &&Lot<'_>| l.kind == kind && l.leaded.unwrap_or(false) == leaded;
            let of: Vec<&Lot<'_>> = lots.iter().filter(of).collect();
            let cones = cover(&of);
            all.extend(cones.into_iter().map(|cone| Sort { kind, cone, leaded }));
        }
    }
    all
}

/// The fewest cones, where the cones of each lot lie side by side: the lot whose hottest cone is
/// coolest has to be served, and is served by the cone that serves most others with it.
fn cover(lots: &[&Lot<'_>]) -> BTreeSet<Cone> {
    let mut open: Vec<&&Lot<'_>> = lots.iter().collect();
    let mut chosen = BTreeSet::new();
    while let Some(next) = open.iter().min_by_key(|l| l.cones.last()) {
        let asked = |c: Cone| {
            let pieces = lots.iter().flat_map(|l| &l.pieces);
            pieces.filter(|p| p.asked_cone == Some(c)).count()
        };
        let served = |c: Cone, of: &[&&Lot<'_>]| of.iter().filter(|l| l.cones.contains(&c)).count();
        let everyone: Vec<&&Lot<'_>> = lots.iter().collect();
        let rank = |c: &Cone| {
            (
                served(*c, &open),
                asked(*c),
                served(*c, &everyone),
                std::cmp::Reverse(*c),
            )
        };
        let Some(cone) = next.cones.iter().copied().max_by_key(rank) else {
            break;
        };
        chosen.insert(cone);
        open.retain(|l| !l.cones.contains(&cone));
    }
    chosen
}

/// Every cone that suits all of these, the one most asked for first.
pub fn shared(lots: &[&Lot<'_>]) -> Vec<Cone> {
    let Some((first, rest)) = lots.split_first() else {
        return Vec::new();
    };
    let all = first.cones.iter().copied();
    let mut all: Vec<Cone> = all
        .filter(|c| rest.iter().all(|l| l.cones.contains(c)))
        .collect();
    all.sort_by_key(|c| {
        let pieces = lots.iter().flat_map(|l| &l.pieces);
        let asked = pieces.filter(|p| p.asked_cone == Some(*c)).count();
        (std::cmp::Reverse(asked), *c)
    });
    all
}
