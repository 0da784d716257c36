//! What a step replaced, so that it can be taken back to the last bit.

use std::collections::{BTreeMap, BTreeSet};

use glost_model::load::{LeftOut, LoadPlan, Tier, Worth};
use glost_model::piece::PieceId;
use serde::{Deserialize, Serialize};

/// The parts of a load as they were before a step. Tiers that the step left alone are not kept, so
/// that a long history stays small.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Patch {
    /// Tiers by their number; all of them when the step may have changed how many there are.
    tiers: BTreeMap<usize, Tier>,
    count: usize,
    left_out: Option<Vec<LeftOut>>,
    worth: Worth,
    locked: BTreeSet<PieceId>,
}

impl Patch {
    /// What puts a load back as it is now, after a step that changes no more than some of its tiers
    /// (all when `only` is nothing), which ware stays out, and the locks.
    pub fn of(
        load: &LoadPlan,
        locked: &BTreeSet<PieceId>,
        only: Option<&BTreeSet<usize>>,
        left_out: bool,
    ) -> Self {
        let kept = load.tiers.iter().enumerate();
        Self {
            tiers: kept
                .filter(|(k, _)| only.is_none_or(|o| o.contains(k)))
                .map(|(k, t)| (k, t.clone()))
                .collect(),
            count: load.tiers.len(),
            left_out: left_out.then(|| load.left_out.clone()),
            worth: load.worth,
            locked: locked.clone(),
        }
    }

    /// Puts the load back, and answers with what takes that back in turn.
    pub fn put_back(self, load: &mut LoadPlan, locked: &mut BTreeSet<PieceId>) -> Self {
        let whole = self.tiers.len() == self.count;
        let only: BTreeSet<usize> = self.tiers.keys().copied().collect();
        let back = Self::of(
            load,
            locked,
            (!whole).then_some(&only),
            self.left_out.is_some(),
        );
        if whole {
            load.tiers = self.tiers.into_values().collect();
        } else {
            for (k, tier) in self.tiers {
                if let Some(t) = load.tiers.get_mut(k) {
                    *t = tier;
                }
            }
        }
        if let Some(left_out) = self.left_out {
            load.left_out = left_out;
        }
        load.worth = self.worth;
        *locked = self.locked;
        back
    }

    /// Names of the tiers that it holds.
    pub fn tier_names(&self) -> impl Iterator<Item = &str> {
        self.tiers.values().map(|t| t.name.as_str())
    }
}
