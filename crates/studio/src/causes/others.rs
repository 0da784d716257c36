//! What other pieces have: counts only, no names.

use glost_model::book::{FaultKind, Firing, Ware};
use glost_rules::cause::{Group, Shared};

/// A piece of ware in a firing of the kind that is looked at.
#[derive(Debug, Clone, Copy)]
pub struct Stood<'a> {
    /// The piece.
    pub ware: &'a Ware,
    /// Firing.
    pub firing: &'a str,
    /// Tier.
    pub tier: &'a str,
}

impl Stood<'_> {
    fn has(&self, kind: FaultKind) -> bool {
        let alike = |k: FaultKind| k == kind || (k.is_crack() && kind.is_crack());
        let mut here = self.ware.faults.iter();
        here.any(|f| f.firing.as_deref() == Some(self.firing) && alike(f.kind))
    }
}

/// What the others that share something with a piece have.
pub fn shared(
    firing: &Firing,
    ware: &Ware,
    kind: FaultKind,
    tier: Option<&str>,
    stood: &[Stood<'_>],
) -> Vec<Shared> {
    let groups = [
        Group::Firing,
        Group::Tier,
        Group::Glaze,
        Group::Clay,
        Group::Maker,
    ];
    let all = groups.iter().map(|group| {
        let mut out = Shared {
            group: *group,
            with: (0, 0),
            without: (0, 0),
            before: (0, 0),
        };
        for s in stood.iter().filter(|s| s.ware.code() != ware.code()) {
            let here = s.firing == firing.id;
            let alike = match group {
                Group::Firing => here,
                Group::Tier => here && Some(s.tier) == tier,
                Group::Glaze => {
                    let has = |g: &String| ware.piece.glazes.contains(g);
                    s.ware.piece.glazes.iter().any(has)
                }
                Group::Clay => s.ware.piece.clay == ware.piece.clay,
                Group::Maker => s.ware.owner == ware.owner,
            };
            let count = match (here, alike) {
                (true, true) => &mut out.with,
                (true, false) => &mut out.without,
                (false, true) => &mut out.before,
                (false, false) => continue,
            };
            count.0 += usize::from(s.has(kind));
            count.1 += 1;
        }
        out
    });
    all.collect()
}
