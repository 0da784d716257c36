//! Ware that goes together or not at all; a piece that belongs to no set is a set of its own.

use std::collections::BTreeMap;

use crate::ware::Ware;

/// All sets of a load's ware.
pub struct Sets {
    /// The set of each ware.
    pub of: Vec<usize>,
    /// Ware of each set, the hardest to place first.
    pub members: Vec<Vec<usize>>,
    /// Worth of each set.
    pub value: Vec<f64>,
    /// Area of each set, m².
    pub area_m2: Vec<f64>,
    /// Whether any of a set must be back soon.
    pub urgent: Vec<bool>,
}

impl Sets {
    /// Sorts ware into its sets.
    pub fn of(ware: &[Ware<'_>]) -> Self {
        let mut named: BTreeMap<&str, usize> = BTreeMap::new();
        let mut sets = Self {
            of: Vec::with_capacity(ware.len()),
            members: Vec::new(),
            value: Vec::new(),
            area_m2: Vec::new(),
            urgent: Vec::new(),
        };
        for (i, w) in ware.iter().enumerate() {
            let next = sets.members.len();
            let set = match w.piece.group.as_deref() {
                Some(name) => *named.entry(name).or_insert(next),
                None => next,
            };
            if set == next {
                sets.members.push(Vec::new());
                sets.value.push(0.0);
                sets.area_m2.push(0.0);
                sets.urgent.push(false);
            }
            sets.of.push(set);
            sets.members[set].push(i);
            sets.value[set] += w.value;
            sets.area_m2[set] += w.area_m2;
            sets.urgent[set] |= w.urgent;
        }
        for m in &mut sets.members {
            m.sort_by(|&a, &b| ware[b].body.top_m.total_cmp(&ware[a].body.top_m));
        }
        sets
    }
}
